/* Tests of solver/output/view_json.c; that it holds all that the other formats hold is the contract
   in test_view.c. */
#include <criterion/criterion.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "corners.h"
#include "output/view.h"

static page *small_page(void) {
    static const char *const header[] = {"state", NULL}, *const cells[] = {"firm", NULL};
    page *p = page_create(NULL, BARONET_IMPERIAL);
    page_set_study(p, "stroke");
    page_add(p, BLOCK_TITLE, "say \"A\" \\ B\x01");
    page_add(p, BLOCK_NOTE, "assumed");
    page_add(p, BLOCK_CHAPTER, "Rates");
    table_add(page_table(p, 2, 1, header), cells);
    corners_add(p, 0.0254 * 1.23456789012, 0.5);
    return p;
}

Test(view_json, a_page_is_a_document) {
    page *p = small_page();
    text_buffer out = {0};
    view_json(p, &out);
    cr_expect_str_eq(
        out.bytes,
        "{\n \"format\": \"baronet-answer\",\n \"version\": 1,\n \"study\": \"stroke\",\n"
        " \"program\": \"" BARONET_VERSION "\",\n \"units\": \"imperial\",\n"
        " \"status\": {\n  \"code\": 0,\n  \"exit\": 0,\n  \"text\": \"done\"\n },\n"
        " \"title\": \"say \\\"A\\\" \\\\ B\xEF\xBF\xBD\",\n"
        " \"content\": [\n  {\n   \"kind\": \"note\",\n   \"text\": \"assumed\"\n  }\n ],\n"
        " \"sections\": [\n  {\n   \"heading\": \"Rates\",\n   \"chapter\": true,\n   \"state\": "
        "null,\n   \"content\": [\n    {\n"
        "     \"kind\": \"table\",\n     \"labels\": 1,\n"
        "     \"header\": [\n      \"state\",\n      null\n     ],\n"
        "     \"rows\": [\n      [\n       \"firm\",\n       null\n      ]\n     ]\n"
        "    }\n   ]\n  }\n ],\n"
        " \"figures\": [],\n"
        " \"series\": {\n  \"labels\": [\n   \"corner\"\n  ],\n"
        "  \"columns\": [\n   {\n    \"name\": \"travel\",\n    \"unit\": \"in\"\n   },\n"
        "   {\n    \"name\": \"share\",\n    \"unit\": \"\"\n   }\n  ],\n"
        "  \"rows\": [\n   [\n    \"RL\",\n    0.0,\n    null\n   ],\n"
        "   [\n    \"RR\",\n    1.23456789,\n    0.5\n   ]\n  ]\n }\n}\n",
        "%s", out.bytes);
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}

/* Requests of jansson, which takes its memory from malloc. */
static size_t calls, fail_at, live;

static void *count_malloc(size_t size) {
    void *taken = ++calls == fail_at ? NULL : malloc(size);
    live += taken != NULL;
    return taken;
}

static void count_free(void *taken) {
    live -= taken != NULL;
    free(taken);
}

Test(view_json, survives_jansson_running_out_of_memory) {
    page *p = small_page();
    json_set_alloc_funcs(count_malloc, count_free);
    text_buffer whole = {0};
    view_json(p, &whole);
    cr_assert_not(whole.failed);
    cr_assert_eq(live, 0);
    bool failed = true;
    for (size_t k = 1; failed; k++) {
        text_buffer out = {0};
        fail_at = calls + k;
        view_json(p, &out);
        failed = calls >= fail_at;
        fail_at = 0;
        cr_expect_eq(out.failed, failed, "request %zu", k);
        cr_expect(out.failed || strcmp(out.bytes, whole.bytes) == 0, "request %zu", k);
        cr_expect_eq(live, 0, "request %zu: %zu blocks left", k, live);
        text_buffer_free(&out);
    }
    cr_expect_gt(calls, 50);
    text_buffer_free(&whole);
    baronet_answer_destroy(p);
}
