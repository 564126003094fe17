/* Tests of solver/output/view_xml.c; that it holds all that the other formats hold is the contract
   in test_view.c. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "corners.h"
#include "flat.h"
#include "output/view.h"

static page *small_page(void) {
    static const char *const header[] = {"state", "rate", NULL}, *const cells[] = {"firm", "1.5",
                                                                                   NULL};
    page *p = page_create(NULL, BARONET_METRIC);
    page_set_study(p, "rates");
    page_set_status(p, BARONET_NOT_MET);
    page_add(p, BLOCK_TITLE, "A & B");
    page_add(p, BLOCK_LEAD, "It stands.");
    page_set_state(p, "firm");
    page_add(p, BLOCK_HEADING, "Rates");
    table_add(page_table(p, 3, 1, header), cells);
    page_table(p, 3, 1, header); /* without rows */
    page_add(p, BLOCK_CAUTION, "hot");
    corners_add(p, 0.0123456789, (double)NAN);
    return p;
}

Test(view_xml, a_page_is_a_document) {
    page *p = small_page();
    text_buffer out = {0};
    view_xml(p, &out);
    cr_expect_str_eq(
        out.bytes,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<answer xmlns=\"urn:baronet:answer:1\" version=\"1\" study=\"rates\" "
        "program=\"" BARONET_VERSION "\" units=\"metric\">\n"
        "  <status code=\"1\" exit=\"1\">a requirement is not met</status>\n"
        "  <title>A &amp; B</title>\n"
        "  <lead>It stands.</lead>\n"
        "  <section heading=\"Rates\" chapter=\"false\" state=\"firm\">\n"
        "    <table labels=\"1\">\n"
        "      <header>\n"
        "        <cell>state</cell>\n        <cell>rate</cell>\n        <cell/>\n"
        "      </header>\n"
        "      <row>\n"
        "        <cell>firm</cell>\n        <cell>1.5</cell>\n        <cell/>\n"
        "      </row>\n"
        "    </table>\n"
        "    <caution>hot</caution>\n"
        "  </section>\n"
        "  <figures/>\n"
        "  <series>\n"
        "    <label-column name=\"corner\"/>\n"
        "    <column name=\"travel\" unit=\"mm\"/>\n"
        "    <column name=\"share\" unit=\"\"/>\n"
        "    <row>\n      <label>RL</label>\n      <values>0 NaN</values>\n    </row>\n"
        "    <row>\n      <label>RR</label>\n      <values>12.3456789 NaN</values>\n"
        "    </row>\n"
        "  </series>\n"
        "</answer>\n",
        "%s", out.bytes);
    free(flat_xml("small page", out.bytes));
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}

/* Whatever the text of a netlist holds, each document is one. */
Test(view_xml, control_characters_in_free_text_do_no_harm) {
    baronet_netlist *netlist =
        ask_text("about \"<&> \x01 \x1B[31m ]]> \xEF\xBF\xBE d\xC3\xA9j\xC3\xA0 {\\\"\n"
                 "corner A at 0 m 0 m load 300 kg axle x\n"
                 "profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                 "spring bag on A profile p height 150 mm\n");
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, baronet_check, &question);
    char *xml = flat_xml("odd text", ask_render(answer, BARONET_XML, false));
    char *json = flat_json("odd text", ask_render(answer, BARONET_JSON, false));
    cr_expect_not_null(strstr(xml, "title|<&> "), "%s", xml);
    cr_expect_not_null(strstr(xml, " d\xC3\xA9j\xC3\xA0 {\\\n"), "%s", xml);
    cr_expect_str_eq(xml, json);
    free(xml);
    free(json);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(view_xml, a_figure_without_a_number_has_no_value) {
    page *p = page_create(NULL, BARONET_METRIC);
    baronet_figure two[] = {
        {"rates", "soft", "", "settled", "load", "RL", 1234.5, BARONET_FORCE},
        {"rates", "soft", "", "settled", "load", "RR", (double)NAN, BARONET_FORCE}};
    p->figure = malloc(sizeof two);
    cr_assert_not_null(p->figure);
    memcpy(p->figure, two, sizeof two);
    p->figures = p->figure_capacity = 2;
    text_buffer out = {0};
    view_xml(p, &out);
    cr_expect_not_null(strstr(out.bytes, "subject=\"RL\" value=\"1234.5\" unit=\"N\"/>"));
    cr_expect_not_null(strstr(out.bytes, "subject=\"RR\" unit=\"N\"/>"), "%s", out.bytes);
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}
