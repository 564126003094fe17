/* Pages as HTML: each block has its element, all of it arrives, and nothing of a netlist is taken
   for markup.
   SPDX-License-Identifier: MIT */
#include "output/view.h"

#include <criterion/criterion.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "output/picture.h"
#include "studies/demos.h"
#include "support.h"

/* A page as HTML, which has to be XML as well; to be freed with its text. */
typedef struct parsed {
    text_buffer bytes;
    xmlDocPtr tree;
} parsed;

static parsed parse(const page *p) {
    parsed out = {{0}, NULL};
    view_html(p, &out.bytes);
    cr_assert_not(out.bytes.failed);
    out.tree =
        xmlReadMemory(out.bytes.bytes, (int)out.bytes.length, "page.html", NULL, XML_PARSE_NONET);
    cr_assert_not_null(out.tree, "not well-formed:\n%s", out.bytes.bytes);
    return out;
}

static void parsed_free(parsed *one) {
    xmlFreeDoc(one->tree);
    text_buffer_free(&one->bytes);
}

/* How many elements an XPath finds; `h` is the namespace of XHTML. */
static int count(const parsed *one, const char *path) {
    xmlXPathContextPtr context = xmlXPathNewContext(one->tree);
    xmlXPathRegisterNs(context, BAD_CAST "h", BAD_CAST "http://www.w3.org/1999/xhtml");
    xmlXPathObjectPtr found = xmlXPathEvalExpression(BAD_CAST path, context);
    cr_assert_not_null(found, "%s", path);
    const int number = found->nodesetval != NULL ? found->nodesetval->nodeNr : 0;
    xmlXPathFreeObject(found);
    xmlXPathFreeContext(context);
    return number;
}

static void expect_count(const parsed *one, const char *path, int number) {
    cr_expect_eq(count(one, path), number, "%s: %d", path, count(one, path));
}

/* The part between two others. */
static char *between(const char *bytes, const char *from, const char *to) {
    const char *start = strstr(bytes, from);
    cr_assert_not_null(start, "%s", from);
    const char *end = strstr(start, to);
    cr_assert_not_null(end, "%s", to);
    return strndup(start, (size_t)(end - start));
}

static page *every_block(const baronet_allocator *allocator) {
    static const char *const header[] = {"what", NULL, "soft", "firm"};
    page *p = page_create(allocator, BARONET_METRIC);
    if (p == NULL) {
        return NULL;
    }
    page_add(p, BLOCK_TITLE, "A van (invented)");
    page_add(p, BLOCK_PLAIN, "base case");
    page_add(p, BLOCK_CHAPTER, "In short");
    page_add(p, BLOCK_LEAD, "soft: it rides.");
    page_add(p, BLOCK_LEAD, "It leans.");
    table *t = page_table(p, 4, 2, header);
    table_set_states(t);
    table_values(t, "rate", BARONET_STIFFNESS, 2, (const double[]){23.4e3, -5.1e3});
    table_add(t, (const char *const[]){"  against soft", NULL, NULL, "-0.3 -12%"});
    page_add(p, BLOCK_CAUTION, "`left` may fall");
    page_add(p, BLOCK_NOTE, "the cd is assumed");
    page_add(p, BLOCK_CHAPTER, "States");
    page_set_state(p, "soft");
    page_add(p, BLOCK_HEADING, "State soft");
    page_add(p, BLOCK_HEADING, "Springs");
    page_set_state(p, "firm");
    page_add(p, BLOCK_HEADING, "State firm");
    page_set_state(p, NULL);
    page_add(p, BLOCK_LISTING, "about \"A # B\" # C\n\n  tank t\r\n# all of it");
    return p;
}

Test(view_html, each_kind_of_block_has_its_element) {
    page *p = every_block(NULL);
    parsed one = parse(p);
    char *const main = between(one.bytes.bytes, "<div class=\"lead\">", "</main>");
    static const char *const parts[] = {
        "<div class=\"lead\"><p><b>soft</b>: it rides.</p><p>It leans.</p></div>",
        "<thead><tr><th scope=\"col\">what</th><td class=\"unit\"></td>"
        "<th class=\"n\" scope=\"col\" data-of=\"soft\">soft</th>"
        "<th class=\"n\" scope=\"col\" data-of=\"firm\">firm</th></tr></thead>",
        "<tr><th scope=\"row\">rate</th><td class=\"unit\">N/mm</td>"
        "<td class=\"n\" data-of=\"soft\">23.4</td>"
        "<td class=\"n\" data-of=\"firm\">\xE2\x88\x92"
        "5.1</td></tr>",
        "<tr class=\"sub\"><th scope=\"row\">against soft</th><td class=\"unit\"></td>"
        "<td class=\"n\" data-of=\"soft\"></td>"
        "<td class=\"n\" data-of=\"firm\">\xE2\x88\x92"
        "0.3 <small>\xE2\x88\x92"
        "12%</small></td></tr>",
        "<ul class=\"cautions\"><li><b>Caution: </b><code>left</code> may fall</li></ul>",
        "<ul class=\"notes\"><li>the cd is assumed</li></ul>",
        "<section class=\"state\" data-state=\"soft\"><h3>State "
        "soft</h3><h4>Springs</h4></section>",
        "<section class=\"state\" data-state=\"firm\"><h3>State firm</h3></section>",
        "<li><code><b>about</b> \"A # B\" <i># C</i></code></li>\n<li><code></code></li>\n"
        "<li><code>  tank t</code></li>\n<li><code><i># all of it</i></code></li></ol>"};
    for (size_t k = 0; k < sizeof parts / sizeof parts[0]; k++) {
        cr_expect_not_null(strstr(main, parts[k]), "wanted: %s\nin: %s", parts[k], main);
    }
    expect_count(&one, "//h:h1[.='A van (invented)']", 1);
    expect_count(&one, "//h:nav//h:a[@href='#part-2'][.='States']", 1);
    expect_count(&one, "//h:section[@id='part-2']/h:details[@open]/h:summary/h:h2", 1);
    expect_count(&one, "//h:form[@hidden]//h:input[@name='shown']", 3);
    free(main);
    parsed_free(&one);
    baronet_answer_destroy(p);
}

Test(view_html, one_state_needs_no_choice) {
    page *p = page_create(NULL, BARONET_METRIC);
    page_set_state(p, "rest");
    page_add(p, BLOCK_HEADING, "State rest");
    parsed one = parse(p);
    expect_count(&one, "//h:form", 0);
    expect_count(&one, "//h:h2[.='State rest']", 1);
    expect_count(&one, "//h:nav", 0);
    parsed_free(&one);
    baronet_answer_destroy(p);
}

/* Nothing is asked for from anywhere: no address in an attribute that loads, no import, no frame.
 */
static void expect_alone(const char *what, const parsed *one) {
    static const char *const loading[] = {"//@src",
                                          "//h:link",
                                          "//h:base",
                                          "//h:iframe",
                                          "//h:object",
                                          "//h:img",
                                          "//@style",
                                          "//h:a[not(starts-with(@href,'#'))]",
                                          "//@*[starts-with(name(),'on')]"};
    for (size_t k = 0; k < sizeof loading / sizeof loading[0]; k++) {
        cr_expect_eq(count(one, loading[k]), 0, "%s: %s", what, loading[k]);
    }
    expect_count(one, "//h:script", 1);
    expect_count(one, "//h:style", 2); /* of the page and of drawings */
    static const char *const words[] = {"url(", "@import", "fetch(", "XMLHttpRequest", "src="};
    for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
        cr_expect_null(strstr(one->bytes.bytes, words[k]), "%s: %s", what, words[k]);
    }
}

Test(view_html, words_are_never_markup) {
    page *p = page_create(NULL, BARONET_METRIC);
    static const char evil[] =
        "<script>alert(1)</script> & \"'> ]]> <!-- \x01\x7f \xff \xEF\xBF\xBF";
    static const block_kind kinds[] = {BLOCK_TITLE, BLOCK_CHAPTER, BLOCK_HEADING, BLOCK_LEAD,
                                       BLOCK_PLAIN, BLOCK_NOTE,    BLOCK_CAUTION, BLOCK_LISTING};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        page_add(p, kinds[k], evil);
    }
    page_set_state(p, evil);
    page_add(p, BLOCK_HEADING, evil);
    page_set_state(p, "other");
    page_add(p, BLOCK_HEADING, evil);
    const char *const header[] = {evil, evil, evil};
    table *t = page_table(p, 3, 1, header);
    table_set_states(t);
    table_add(t, header);
    parsed one = parse(p);
    expect_alone("evil words", &one);
    cr_expect_null(strstr(one.bytes.bytes, "<script>alert"));
    expect_count(&one, "//h:h1[starts-with(., '<script>alert(1)</script> & \"')]", 1);
    parsed_free(&one);
    baronet_answer_destroy(p);
}

/* All the words of a tree, with the signs of numbers as on other pages. */
static char *words_of(const parsed *one) {
    xmlChar *content = xmlNodeGetContent(xmlDocGetRootElement(one->tree));
    char *const words = strdup((const char *)content);
    xmlFree(content);
    char *to = words;
    for (const char *c = words; *c != '\0';) {
        const bool minus = strncmp(c, "\xE2\x88\x92", 3) == 0;
        const bool dash = strncmp(c, "\xE2\x80\x93", 3) == 0;
        *to++ = minus || dash ? '-' : *c;
        c += minus || dash ? 3 : 1;
    }
    *to = '\0';
    return words;
}

static void expect_words(const char *what, const char *all, const char *words) {
    char *const plain = strdup(words);
    char *to = plain;
    for (const char *c = words; *c != '\0'; c++) {
        if (*c != '`') {
            *to++ = *c;
        }
    }
    *to = '\0';
    const char *const start = plain + strspn(plain, " ");
    cr_expect_not_null(strstr(all, start), "%s: lost: %s", what, start);
    free(plain);
}

/* Each sentence and each cell of a page. */
static void expect_all(const char *what, const page *p) {
    parsed one = parse(p);
    char *const all = words_of(&one);
    for (const block *b = p->first; b != NULL; b = b->next) {
        if (b->kind != BLOCK_TABLE && b->kind != BLOCK_LISTING && b->text != NULL) {
            expect_words(what, all, b->text);
        }
        for (const table_row *r = b->kind == BLOCK_TABLE ? b->table->first : NULL; r != NULL;
             r = r->next) {
            for (int i = 0; i < b->table->columns; i++) {
                expect_words(what, all, r->cell[i] != NULL ? r->cell[i] : "");
            }
        }
    }
    expect_alone(what, &one);
    free(all);
    parsed_free(&one);
}

Test(view_html, every_word_of_every_quick_study_arrives) {
    for (const char *const *path = demos; *path != NULL; path++) {
        baronet_netlist *netlist = ask_file(*path);
        for (const ask_study *study = ask_studies; study->name != NULL; study++) {
            if (study->quick) {
                const baronet_question question = {0};
                baronet_answer *answer = ask(netlist, study->study, &question);
                expect_all(*path, answer);
                baronet_answer_destroy(answer);
            }
        }
        baronet_netlist_destroy(netlist);
    }
}

Test(view_html, is_offered_by_name) {
    cr_expect_eq(baronet_format_find("html"), BARONET_HTML);
    char *const page_bytes = ask_page(AXLE AXLE_TANKS, baronet_states);
    free(page_bytes);
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, baronet_states, &question);
    char *const first = strdup(ask_render(answer, BARONET_HTML, false));
    cr_expect_eq(strncmp(first, "<!DOCTYPE html>\n<html ", 22), 0, "%.40s", first);
    cr_expect_str_eq(ask_render(answer, BARONET_HTML, false), first, "the same bytes again");
    free(first);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(view_html, survives_running_out_of_memory) {
    bool refused = true;
    for (size_t k = 1; refused; k++) {
        failing f;
        page *p = every_block(failing_start(&f, k));
        text_buffer out = {.allocator = &f.allocator};
        if (p != NULL && !p->failed) {
            view_html(p, &out);
            cr_expect_eq(out.failed, f.failed, "request %zu", k);
        }
        text_buffer_free(&out);
        baronet_answer_destroy(p);
        cr_expect_eq(f.live, 0, "request %zu", k);
        refused = f.failed;
        cr_expect(refused || k > 20);
    }
}

/* Words and tables of odd kinds. */
Test(view_html, odd_words_and_tables) {
    static const char *const blank[] = {"", NULL, "x"}, *const none[] = {NULL, "y"};
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "A van (invented)");
    page_add(p, BLOCK_LEAD, "half a ` quote");
    page_add(p, BLOCK_LEAD, "a subject that goes on for longer than any subject should go: no");
    table_add(page_table(p, 3, 0, blank), (const char *const[]){"-x", "-", "-7"});
    table_add(page_table(p, 2, 0, none), (const char *const[]){NULL, "1"});
    table_add(page_table(p, 2, 2, none), (const char *const[]){"only", "labels"});
    parsed one = parse(p);
    static const char *const parts[] = {
        "<p>half a ` quote</p>",
        "<p>a subject that goes on for longer than any subject should go: no</p>",
        "aria-label=\"figures\"",
        "<td class=\"n\">-x</td><td class=\"n\">\xE2\x80\x93</td><td class=\"n\">\xE2\x88\x92"
        "7</td>"};
    for (size_t k = 0; k < sizeof parts / sizeof parts[0]; k++) {
        cr_expect_not_null(strstr(one.bytes.bytes, parts[k]), "wanted: %s\nin: %s", parts[k],
                           one.bytes.bytes);
    }
    expect_count(&one, "//h:table", 2);
    expect_count(&one, "//h:th", 2);
    parsed_free(&one);
    baronet_answer_destroy(p);
}

/* A page of nothing, of a title alone, and of a title with no words below it. */
Test(view_html, pages_with_little_on_them) {
    page *nothing = page_create(NULL, BARONET_METRIC), *title = page_create(NULL, BARONET_METRIC),
         *lead = page_create(NULL, BARONET_METRIC);
    page_add(title, BLOCK_TITLE, "A van (invented)");
    page_add(lead, BLOCK_TITLE, "A van (invented)");
    page_add(lead, BLOCK_LEAD, "It rides.");
    parsed a = parse(nothing), b = parse(title), c = parse(lead);
    expect_count(&a, "//h:title[.='baronet']", 1);
    expect_count(&a, "//h:h1", 0);
    expect_count(&b, "//h:title[.='A van (invented)']", 1);
    expect_count(&b, "//h:h1", 1);
    expect_count(&b, "//h:p", 0);
    expect_count(&c, "//h:header/h:p", 0);
    expect_count(&c, "//h:main//h:p[.='It rides.']", 1);
    parsed_free(&a);
    parsed_free(&b);
    parsed_free(&c);
    baronet_answer_destroy(nothing);
    baronet_answer_destroy(title);
    baronet_answer_destroy(lead);
}

/* A short table beside a picture of the same state stays as it is. */
Test(view_html, a_short_table_is_not_folded) {
    static const char *const header[] = {"what", "soft"};
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "A van (invented)");
    page_set_state(p, "soft");
    page_add(p, BLOCK_HEADING, "State soft");
    picture_add(page_picture(p, "rate", (picture_axis){"time", BARONET_TIME, false},
                             (picture_axis){"load", BARONET_FORCE, false}),
                "one", 2, (const double[]){1.0, 2.0}, (const double[]){2.0, 5.0});
    table_add(page_table(p, 2, 1, header), (const char *const[]){"rate", "1.5"});
    parsed one = parse(p);
    expect_count(&one, "//h:summary", 1); /* the picture's own */
    expect_count(&one, "//h:th[.='rate']", 1);
    parsed_free(&one);
    baronet_answer_destroy(p);
}
