/* SPDX-License-Identifier: MIT */
#include "output/xml.h"

#include <criterion/criterion.h>
#include <libxml/parser.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

#define SPACE "urn:example:test"

static void expect_document(xml_document *d, const char *expected) {
    text_buffer out = {0};
    xml_write(d, &out);
    cr_assert_not(out.failed);
    cr_expect_str_eq(out.bytes, expected, "%s", out.bytes);
    text_buffer_free(&out);
    xml_end(d);
}

Test(xml, elements_stand_where_they_were_added) {
    xml_document d;
    xml_element *root = xml_begin(&d, NULL, "answer", SPACE);
    xml_set(&d, root, "version", "3");
    xml_element *list = xml_add(&d, root, "list", NULL);
    xml_add(&d, list, "item", "first");
    xml_add(&d, list, "item", "");
    xml_set(&d, xml_add(&d, root, "end", "last"), "kind", "x");
    expect_document(&d, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                        "<answer xmlns=\"" SPACE "\" version=\"3\">\n"
                        "  <list>\n    <item>first</item>\n    <item/>\n  </list>\n"
                        "  <end kind=\"x\">last</end>\n</answer>\n");
}

Test(xml, text_may_follow_elements_of_another_space) {
    xml_document d;
    xml_element *root = xml_begin(&d, NULL, "a", SPACE);
    xml_element *inner = xml_add_within(&d, root, "b", "urn:example:other");
    xml_add(&d, inner, "c", "first");
    xml_append(&d, inner, "second < ");
    xml_append(&d, inner, "third");
    xml_append(&d, NULL, "nowhere");
    expect_document(&d,
                    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<a xmlns=\"" SPACE "\">\n"
                    "  <b xmlns=\"urn:example:other\"><c>first</c>second &lt; third</b>\n</a>\n");
}

Test(xml, marks_of_xml_within_words_are_words) {
    xml_document d;
    xml_element *root = xml_begin(&d, NULL, "a", SPACE);
    xml_set(&d, xml_add(&d, root, "b", "1 < 2 & \"x\" > ]]> &amp;"), "c", "<\"'&\n");
    expect_document(&d, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<a xmlns=\"" SPACE "\">\n"
                        "  <b c=\"&lt;&quot;'&amp;&#10;\">1 &lt; 2 &amp; \"x\" &gt; ]]&gt; "
                        "&amp;amp;</b>\n</a>\n");
}

/* XML 1.0 (fifth edition), production 2, says which characters a document may hold. */
Test(xml, what_xml_cannot_carry_is_replaced) {
    static const struct {
        const char *words, *clean;
    } cases[] = {
        {"", ""},
        {"d\xC3\xA9j\xC3\xA0", "d\xC3\xA9j\xC3\xA0"},
        {"\xF0\x9F\x9A\x90", "\xF0\x9F\x9A\x90"},
        {"tab\there\nand\rthere", "tab\there\nand\rthere"},
        {"bell\a", "bell\xEF\xBF\xBD"},
        {"\x1B[31m", "\xEF\xBF\xBD[31m"},
        {"\x7F", "\x7F"},
        {"\xEF\xBF\xBD", "\xEF\xBF\xBD"},
        {"\xEF\xBF\xBE", "\xEF\xBF\xBD"},
        {"\xEF\xBF\xBF", "\xEF\xBF\xBD"},
        {"\xFF", "\xEF\xBF\xBD"},
        {"cut \xE2\x82", "cut \xEF\xBF\xBD\xEF\xBF\xBD"},
        {"\xED\xA0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"}, /* a surrogate */
        {"\xC0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD"},                 /* overlong */
    };
    text_buffer buffer = {0};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *clean = xml_clean(&buffer, cases[i].words);
        cr_expect_str_eq(clean, cases[i].clean, "case %zu", i);
        xml_document d;
        xml_element *root = xml_begin(&d, NULL, "a", SPACE);
        xml_set(&d, xml_add(&d, root, "b", cases[i].words), "c", cases[i].words);
        text_buffer out = {0};
        xml_write(&d, &out);
        xml_end(&d);
        xmlDoc *read = xmlReadMemory(out.bytes, (int)out.length, NULL, NULL, 0);
        cr_assert_not_null(read, "case %zu: %s", i, out.bytes);
        xmlNode *b = xmlFirstElementChild(xmlDocGetRootElement(read));
        xmlChar *attribute = xmlGetProp(b, BAD_CAST "c"), *words = xmlNodeGetContent(b);
        cr_expect_str_eq((char *)attribute, cases[i].clean, "case %zu", i);
        cr_expect_str_eq((char *)words, cases[i].clean, "case %zu", i);
        xmlFree(attribute);
        xmlFree(words);
        xmlFreeDoc(read);
        text_buffer_free(&out);
    }
    text_buffer_free(&buffer);
}

/* HTML has elements that never hold anything, and others that always end with a tag; what is no
   markup in HTML is none in XML either. */
Test(xml, html_reads_as_both) {
    xml_document d;
    xml_element *root = xml_begin(&d, NULL, "html", "http://www.w3.org/1999/xhtml");
    static const char *const lines[] = {"if (1 < 2 && 3) {\n", "}\n", NULL};
    xml_raw(&d, xml_add(&d, root, "script", NULL), lines);
    xml_element *p = xml_add(&d, root, "p", "1 < 2");
    xml_add(&d, p, "br", NULL);
    xml_add(&d, root, "td", NULL);
    text_buffer out = {0};
    xml_write_html(&d, &out);
    xml_end(&d);
    cr_expect_str_eq(out.bytes, "<!DOCTYPE html>\n"
                                "<html xmlns=\"http://www.w3.org/1999/xhtml\">"
                                "<script>/*<![CDATA[*/\nif (1 < 2 && 3) {\n}\n/*]]>*/</script>"
                                "<p>1 &lt; 2<br /></p><td></td></html>\n");
    text_buffer_free(&out);
}

/* Requests of libxml2, which takes its memory from malloc. */
static size_t calls, fail_at, live;

static void *refuse_or(void *taken, bool fresh) {
    live += fresh && taken != NULL;
    return taken;
}

static void *count_malloc(size_t size) {
    return ++calls == fail_at ? NULL : refuse_or(malloc(size), true);
}

static void *count_realloc(void *block, size_t size) {
    return ++calls == fail_at ? NULL : refuse_or(realloc(block, size), block == NULL);
}

static void count_free(void *block) {
    live -= block != NULL;
    free(block);
}

static char *count_strdup(const char *words) {
    return ++calls == fail_at ? NULL : refuse_or(strdup(words), true);
}

static void build(xml_document *d, text_buffer *out) {
    xml_element *root = xml_begin(d, NULL, "answer", SPACE);
    for (int k = 0; k < 5; k++) {
        xml_element *e = xml_add(d, root, "item", k % 2 == 0 ? "words & marks" : NULL);
        xml_set(d, e, "name", "some \"name\"");
        xml_add(d, e, "inner", "x");
    }
    xml_append(d, xml_add_within(d, root, "guest", "urn:example:other"), "some words");
    static const char *const lines[] = {"p > a { x: 1 && 2 < 3 }\n", NULL};
    xml_raw(d, xml_add(d, root, "style", NULL), lines);
    xml_write(d, out);
    xml_write_html(d, out);
    xml_end(d);
}

static size_t complaints;

static void count_complaint(void *context, xmlErrorPtr error) {
    (void)context;
    complaints += error != NULL;
}

Test(xml, survives_libxml2_running_out_of_memory) {
    cr_assert_eq(xmlMemSetup(count_free, count_malloc, count_realloc, count_strdup), 0);
    xmlInitParser(); /* takes what it keeps for good */
    xmlSetStructuredErrorFunc(NULL, count_complaint);
    xml_document d;
    text_buffer whole = {0};
    build(&d, &whole);
    cr_assert_not(whole.failed);
    const size_t kept = live;
    bool failed = true;
    for (size_t k = 1; failed; k++) {
        text_buffer out = {0};
        fail_at = calls + k;
        build(&d, &out);
        failed = calls >= fail_at;
        fail_at = 0;
        cr_expect_eq(out.failed, failed, "request %zu", k);
        cr_expect(out.failed || strcmp(out.bytes, whole.bytes) == 0, "request %zu", k);
        cr_expect_eq(live, kept, "request %zu: %zu blocks left", k, live - kept);
        text_buffer_free(&out);
    }
    cr_expect_gt(calls, 20);
    cr_expect_eq(complaints, 0, "they are nobody else's");
    cr_expect_eq(xmlStructuredError, count_complaint, "who heard before hears again");
    text_buffer_free(&whole);
}

Test(xml, survives_running_out_of_memory) {
    failing f;
    for (size_t k = 1;; k++) {
        const baronet_allocator *allocator = failing_start(&f, k);
        xml_document d;
        text_buffer out = {.allocator = allocator};
        xml_element *root = xml_begin(&d, allocator, "a", SPACE);
        xml_add(&d, root, "b", "some words");
        xml_write(&d, &out);
        xml_end(&d);
        cr_expect_eq(out.failed, f.failed, "request %zu", k);
        text_buffer_free(&out);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
}
