/* SPDX-License-Identifier: MIT */
#include "netlist/edit.h"

#include <criterion/criterion.h>
#include <string.h>

#include "desk.h"
#include "sample.h"
#include "support.h"

/* All but the values stays: comments, blanks, the order. */
Test(edit, keeps_all_around_the_values) {
    static const char *const said[] = {"RL.coil=1N/mm..20N/mm",
                                       "left-tank.volume+right-tank.volume=1L..8L"};
    static const double values[] = {14.5e3, 3.25e-3};
    desk k = desk_open(sample_van);
    dial dials[2];
    desk_dials(&k, 2, said, dials);
    text_buffer out = {0};
    int stands = 0;
    cr_assert_eq(netlist_edited(k.netlist, 2, dials, values, 4, &out, &stands), BARONET_OK);
    cr_expect_not_null(strstr(out.bytes, "coil 14.5 N/mm carries 60 kg   # a coil beside the air"));
    cr_expect_not_null(strstr(out.bytes, "tank left-tank volume 3.25 L rated 12 bar"));
    cr_expect_not_null(strstr(out.bytes, "tank right-tank volume 3.25 L\n"));
    cr_expect_eq(out.length, strlen(sample_van) + 2 * strlen("3.25") - strlen("4") - strlen("4.5") +
                                 strlen("14.5") - strlen("12"));
    text_buffer_free(&out);
    desk_close(&k);
}

Test(edit, a_value_in_an_included_file_is_not_written) {
    static const sample_file files[] = {
        {"main.air", "include \"part.air\"\ncorner L at 0 m 0 m load 300 kg\n"
                     "spring s on L profile p height 150 mm\n"},
        {"part.air", "let size 3 L # the tank's\ntank t volume size\n"
                     "profile p area 90 cm2 volume 2 L at 150 mm\n"},
        {NULL, NULL}};
    static const char *const said[] = {"size=1L..8L", "L.load=100kg..400kg"};
    static const double values[] = {2.5e-3, 2000.0};
    const baronet_reader reader = sample_reader(files);
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL, *again = NULL;
    cr_assert_eq(baronet_netlist_read("main.air", &reader, NULL, d, &n), BARONET_OK, "%s",
                 baronet_diagnostics_text(d, false));
    desk k = {n, arena_create(NULL), d};
    dial dials[2];
    desk_dials(&k, 2, said, dials);
    text_buffer out = {0};
    int stands = -1;
    cr_expect_eq(netlist_edited(n, 2, dials, values, 4, &out, &stands), BARONET_NO_SUCH_NAME);
    cr_expect_eq(stands, 0);
    text_buffer_free(&out);
    /* But all files can be read again with it changed. */
    cr_assert_eq(netlist_again(n, 2, dials, values, NULL, &again), BARONET_OK);
    double volume = 0.0;
    for (int i = 0; i < netlist_model(again)->network.nodes; i++)
        volume += netlist_model(again)->network.node[i].volume; /* the spring's varies */
    CHECK_REL(volume, 2.5e-3, 1e-15, "as it was set");
    CHECK_REL(netlist_model(again)->vehicle.corner[0].load, 2000.0, 1e-15, "as it was set");
    baronet_netlist_destroy(again);
    desk_close(&k);
}

Test(edit, what_is_wrong_then_is_refused) {
    static const char *const said[] = {"RL.carries=1kg..9999kg"};
    static const double values[] = {9e4};
    desk k = desk_open(sample_van);
    dial dials[1];
    baronet_netlist *again = NULL;
    desk_dials(&k, 1, said, dials);
    cr_expect_eq(netlist_again(k.netlist, 1, dials, values, NULL, &again), BARONET_BAD_NETLIST);
    cr_expect_null(again);
    failing f;
    for (size_t request = 1;; request++) {
        const baronet_allocator *const allocator = failing_start(&f, request);
        const double fine[] = {500.0};
        const baronet_status status = netlist_again(k.netlist, 1, dials, fine, allocator, &again);
        cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY);
        baronet_netlist_destroy(again);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    desk_close(&k);
}

/* A factor of a column stands at no place of the text. */
Test(edit, a_column_is_not_written) {
    static const char *const said[] = {"left-tank.volume=1L..8L", "sleeve.area=+-3%"};
    static const double values[] = {3e-3, 1.02};
    desk k = desk_open(sample_van);
    dial dials[2];
    desk_dials(&k, 2, said, dials);
    text_buffer out = {0};
    int stands = -1;
    cr_expect_eq(netlist_edited(k.netlist, 2, dials, values, 4, &out, &stands),
                 BARONET_NO_SUCH_NAME);
    cr_expect_eq(stands, 1);
    cr_expect_eq(out.length, 0);
    text_buffer_free(&out);
    baronet_netlist *again = NULL;
    cr_expect_eq(netlist_again(k.netlist, 2, dials, values, NULL, &again), BARONET_BAD_NETLIST);
    cr_expect_null(again);
    desk_close(&k);
}

/* Two dials at one place: it is written once, with one of them. */
Test(edit, a_place_is_written_once) {
    static const char *const said[] = {"w=5mm..12mm", "w=5mm..12mm"};
    static const double values[] = {7.25e-3, 7.25e-3};
    desk k = desk_open(sample_van);
    dial dials[2];
    desk_dials(&k, 2, said, dials);
    text_buffer out = {0};
    int stands = -1;
    cr_assert_eq(netlist_edited(k.netlist, 2, dials, values, 4, &out, &stands), BARONET_OK);
    const char *const at = strstr(sample_van, "9.5 mm");
    cr_expect_eq(strncmp(out.bytes, sample_van, (size_t)(at - sample_van)), 0);
    cr_expect_eq(strncmp(out.bytes + (at - sample_van), "7.25 mm\n", 8), 0);
    cr_expect_str_eq(out.bytes + (at - sample_van) + strlen("7.25 mm"), at + strlen("9.5 mm"));
    text_buffer_free(&out);
    failing f;
    for (size_t request = 1;; request++) {
        text_buffer short_of = {.allocator = failing_start(&f, request)};
        const baronet_status status =
            netlist_edited(k.netlist, 2, dials, values, 4, &short_of, &stands);
        cr_expect_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        text_buffer_free(&short_of);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    desk_close(&k);
}
