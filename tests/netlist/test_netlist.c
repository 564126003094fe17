/* Reading as a whole: the public functions, and what has to be survived.
   SPDX-License-Identifier: MIT */
#include "baronet/netlist.h"

#include <criterion/criterion.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "sample.h"
#include "support.h"

Test(netlist, what_the_public_sees) {
    baronet_netlist *const n = sample(sample_van);
    cr_expect_str_eq(baronet_netlist_about(n), "Camper van, rear axle (invented)");
    cr_expect_str_eq(baronet_netlist_state(n, 0), "easy");
    cr_expect_str_eq(baronet_netlist_state(n, 3), "rest");
    cr_expect_null(baronet_netlist_state(n, 4));
    cr_expect_str_eq(baronet_netlist_case(n, 1), "loaded-bench");
    cr_expect_null(baronet_netlist_case(n, 2));
    cr_expect_null(netlist_allocator(n));
    baronet_netlist_destroy(n);
    baronet_netlist_destroy(NULL);
}

Test(netlist, a_first_file_that_cannot_be_read) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n;
    cr_expect_eq(baronet_netlist_read("/no/such.air", NULL, NULL, d, &n), BARONET_NO_FILE);
    cr_expect_null(n);
    cr_expect_str_eq(baronet_diagnostics_text(d, false),
                     "error: `/no/such.air` cannot be read: there is no such file\n");
    baronet_diagnostics_destroy(d);
}

Test(netlist, memory_that_runs_out_over_a_missing_file) {
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        const baronet_allocator *const allocator = failing_start(&f, k);
        baronet_diagnostics *const d = baronet_diagnostics_create(allocator, 0);
        baronet_netlist *n;
        cr_expect_eq(baronet_netlist_read("/no/such.air", NULL, allocator, d, &n),
                     f.failed ? BARONET_OUT_OF_MEMORY : BARONET_NO_FILE, "request %zu", k);
        cr_expect_null(n);
        baronet_diagnostics_destroy(d);
        cr_assert_eq(f.live, 0);
    }
}

/* Positions in a text are numbers of 32 bits, of which 256 MiB leave enough over. */
Test(netlist, a_text_beyond_the_limit) {
    baronet_netlist *n;
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    cr_expect_eq(baronet_netlist_read_text("x", "tank a", BARONET_FILE_LIMIT + 1, NULL, d, &n),
                 BARONET_NO_FILE);
    cr_expect_null(n);
    cr_expect_str_eq(baronet_diagnostics_text(d, false),
                     "error: `x` cannot be read: files of a netlist are 256 MiB at most, all "
                     "together\n");
    baronet_diagnostics_destroy(d);
}

Test(netlist, diagnostics_are_not_needed) {
    baronet_netlist *n;
    cr_expect_eq(baronet_netlist_read_text("x", "tnak a\n", 7, NULL, NULL, &n),
                 BARONET_BAD_NETLIST);
    cr_expect_eq(baronet_netlist_read("/no/such.air", NULL, NULL, NULL, &n), BARONET_NO_FILE);
}

static baronet_status read_bytes(const char *bytes, size_t length, size_t limit, char **said) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, limit);
    baronet_netlist *n;
    const baronet_status status = baronet_netlist_read_text("x", bytes, length, NULL, d, &n);
    const char *const shown = baronet_diagnostics_text(d, false);
    cr_expect_eq(text_valid_utf8(shown, strlen(shown)), strlen(shown));
    for (const char *c = shown; *c; c++)
        cr_expect(*c == '\n' || (unsigned char)*c >= ' ', "byte %d is shown", *c);
    if (said)
        *said = strdup(shown);
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
    return status;
}

static void expect_said(const char *bytes, size_t length, const char *part) {
    char *said;
    read_bytes(bytes, length, 0, &said);
    cr_expect_not_null(strstr(said, part), "wanted: %s\nsaid: %s", part, said);
    free(said);
}

#define BYTES(literal) literal, sizeof literal - 1

Test(netlist, bytes_that_are_no_text) {
    expect_said(BYTES("tank a volume 1 L\n# \0\ntee b\n"), "x:2:3: error: a NUL byte");
    expect_said(BYTES("tank a volume 1 L # caf\xE9\n"), "x:1:24: error: a byte that is not UTF-8");
    expect_said(BYTES("\xFF\xFEt\0a\0"), "x: error: the file is UTF-16\n  save it as UTF-8\n");
    expect_said(BYTES("\033[31mtank\n"), "`?[31mtank` is no keyword");
    expect_said(BYTES("tank \xE2\x80\xAE volume\n"), "not `?`");
}

Test(netlist, line_ends_and_marks_of_all_kinds) {
    static const char *const same[] = {"\xEF\xBB\xBFtank a volume 1 L\r\ntank b\r\n volume 1 L\r\n",
                                       "\n\n\r\n#\n tank\ntank a volume 1\r L\ntank b volume 1 L",
                                       "tank a\t volume\v1\fL\ntank b\n\t\n\n,volume 1 L"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++)
        cr_expect_eq(read_bytes(same[i], strlen(same[i]), 0, NULL),
                     i == 1 ? BARONET_BAD_NETLIST : BARONET_OK);
}

/* Every byte alone, doubled, and in every place of a sound netlist. */
Test(netlist, any_byte_in_any_place) {
    static const char sound[] = "tank a volume 1 L\nprofile p\n height mm area cm2\n 1 2\n"
                                "case c a 3 kg\nlet x \"y\" # z\n";
    char bytes[sizeof sound];
    for (int c = 0; c < 256; c++) {
        for (size_t i = 0; i + 1 < sizeof sound; i++) {
            memcpy(bytes, sound, sizeof sound);
            bytes[i] = (char)c;
            read_bytes(bytes, sizeof sound - 1, 0, NULL);
        }
    }
}

Test(netlist, cut_short_anywhere) {
    for (size_t length = 0; length < strlen(sample_van); length++)
        read_bytes(sample_van, length, 0, NULL);
}

static char *repeat(const char *head, const char *unit, size_t count, size_t *length) {
    const size_t first = strlen(head), each = strlen(unit);
    char *const whole = malloc(first + each * count + 1);
    memcpy(whole, head, first);
    for (size_t i = 0; i < count; i++)
        memcpy(whole + first + i * each, unit, each);
    *length = first + each * count;
    whole[*length] = 0;
    return whole;
}

/* Seconds that reading takes, whatever comes out. */
static double seconds(const char *head, const char *unit, size_t count, size_t limit) {
    size_t length;
    char *const whole = repeat(head, unit, count, &length);
    struct timespec from, to;
    clock_gettime(CLOCK_MONOTONIC, &from);
    read_bytes(whole, length, limit, NULL);
    clock_gettime(CLOCK_MONOTONIC, &to);
    free(whole);
    return (double)(to.tv_sec - from.tv_sec) + 1e-9 * (double)(to.tv_nsec - from.tv_nsec);
}

/* Long files of every unpleasant kind. Each would take minutes if its cost were not in proportion
   to its length. */
Test(netlist, no_cost_grows_with_the_square_of_the_length) {
    static const struct {
        const char *head, *unit;
    } cases[] = {
        {"tank a volume ", "9"},
        {"tank a volume 1 L ", "x"},
        {"tank a ", "volume 1 L "},
        {"tank a volume 1 L ", "x y "},
        {"tank a volume 1 L # ", "\xCC\x81"},
        {"tank a volume 1 L\n", "\ttee a\n"},
        {"tank a volume 1 L\n", "tee a\n"},
        {"tank a volume 1 L\n", "tnak a\n"},
        {"tank a volume 1 L\n", "hose h from b to c bore 1 mm length 1 m\n"},
        {"tank a volume 1 L\n", "require roll_rat below 1 s\n"},
        {"tank a volume 1 L\n", "include \"gone\"\n"},
        {"tank a volume 1 L\n", "corner a at 0 m 0 m load 3 kg coil 1 N/mm\n"},
        {"tank a volume 1 L\n", "ambient pressure 1 bar\n"},
        {"tank a volume 1 L\nstate s open ", "v "},
        {"corner RL at 0 m 0 m load 300 kg coil 9 N/mm\nmotion m ", "RL 1 "},
        {"corner RL at 0 m 0 m load 300 kg coil 9 N/mm\nevent e until 9 s at 1 s ",
         "load RL 1 kg "},
        {"corner RL at 0 m 0 m load 300 kg\nprofile p area 9 cm2 volume 1 L at 1 m\n"
         "spring s height 1 m profile p on ",
         "RL 1 "},
        {"tank a volume 1 L\nevent e ", "at 1 s "},
        {"tank a volume 1 L\nprofile p\n height mm area cm2\n", " 1 2\n"},
        {"tank a volume 1 L\nprofile p\n", " height mm"},
        {"", "\""},
        {"", "#"},
        {"", "\n"},
        {"", "\xFF"},
        {"let a 1 L\n", "let b a\n"},
        {"\"", "tank "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const size_t count = 1000000 / strlen(cases[i].unit);
        const double usual = seconds(cases[i].head, cases[i].unit, count, 0);
        cr_expect_lt(usual, 20.0, "case %zu took %g s", i, usual);
    }
}

/* Should someone want a great many messages, these too are made in proportion. */
Test(netlist, many_messages) {
    cr_expect_lt(seconds("tank a volume 1 L\n", "tnak a ", 50000, 20000), 20.0);
    cr_expect_lt(seconds("tank a volume 1 L\n", "tee a volume 1 kg\n", 20000, 20000), 20.0);
}

Test(netlist, a_million_statements) {
    enum { COUNT = 250000 };
    char *const whole = malloc((size_t)COUNT * 200 + 100);
    size_t used = 0;
    for (int i = 0; i < COUNT; i++)
        used += (size_t)sprintf(whole + used,
                                "tank t%d volume 3 L\ntee j%d\n"
                                "hose h%d from j%d to j%d bore 9 mm length 1 m\n"
                                "hose r%d from j%d to t%d bore 9 mm length 1 m\n",
                                i, i, i, (i + 1) % COUNT, i, i, i, i);
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n;
    const baronet_status status = baronet_netlist_read_text("x", whole, used, NULL, d, &n);
    cr_assert_neq(n, NULL, "%d %s", (int)status, baronet_diagnostics_text(d, false));
    cr_expect_eq(netlist_model(n)->network.nodes, 4 * COUNT + 1);
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
    free(whole);
}

static const char much[] =
    "ambient altitude 300 m\ngas exponent 1.3\nlet a 3 kN\n"
    "corner FL at 1.2 m 0.8 m load a\ncorner FR at 1.2 m -0.8 m load a\n"
    "corner RL at -1.2 m 0.8 m load a\ncorner RR at -1.2 m -0.8 m load a\n"
    "profile p volume 1 L at 150 mm\n height mm load-3bar N load-5bar N\n 190 1800 3200\n"
    " 150 2100 3500\n"
    "spring fl on FL profile p height 170 mm\nspring fr on FR profile p height 170 mm\n"
    "spring rl on RL 0.9 RR 0.1 profile p height 170 mm\n"
    "spring rr on RL 0.1 RR 0.9 profile p height 170 mm\n"
    "tank t volume 3 L\nsolenoid v from t to fl normally closed bore 3 mm\n"
    "solenoid w from t to fr normally open bore 3 mm\nstate s open v\nstate u shut w\n"
    "compressor k to t\n pressure bar flow L/min\n 0 60\n 8 20\n"
    "motion m FL 1 RR 1\ncase c FL 30 kg\nevent e in s at 0 s open w until 9 s\n"
    "require stiffness of RL/RR above 1 N/m instant\n"
    "require motion_rate of one-wheel:FL above 1 N/m\n";

/* Each request for memory is refused in turn, and with it all after it. */
Test(netlist, memory_that_runs_out) {
    failing f;
    for (size_t k = 1, i = 0; i < 2; k++) {
        const char *const words = i == 0 ? sample_van : much;
        const baronet_allocator *const allocator = failing_start(&f, k);
        baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
        baronet_netlist *n;
        const baronet_status status =
            baronet_netlist_read_text("x", words, strlen(words), allocator, d, &n);
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        baronet_netlist_destroy(n);
        cr_assert_eq(f.live, 0, "request %zu", k);
        baronet_diagnostics_destroy(d);
        if (!f.failed)
            i++, k = 0;
    }
}

/* The same with much to complain of, the diagnostics failing too. */
Test(netlist, memory_that_runs_out_while_complaining) {
    static const char wrong[] =
        "tnak a\ntank b volume 1 kg\ntank b\ninclude \"gone\"\nlet c 1\n"
        "corner RL at 0 m 0 load 1 kg\nhose h from b too b bore c\n"
        "require rol_rate below 1 s\nstate s open h\nprofile p\n heigt mm\n";
    failing f;
    for (size_t k = 1;; k++) {
        const baronet_allocator *const allocator = failing_start(&f, k);
        baronet_diagnostics *const d = baronet_diagnostics_create(allocator, 0);
        baronet_netlist *n = NULL;
        const baronet_status status =
            d ? baronet_netlist_read_text("x", wrong, sizeof wrong - 1, allocator, d, &n)
              : BARONET_OUT_OF_MEMORY;
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_BAD_NETLIST, "request %zu",
                     k);
        baronet_netlist_destroy(n);
        baronet_diagnostics_destroy(d);
        cr_assert_eq(f.live, 0, "request %zu", k);
        if (!f.failed)
            break;
    }
}

/* A longer name of the text moves all takes. */
Test(netlist, any_take_may_be_refused) {
    static const char *const texts[] = {sample_van, much};
    static char called[6000];
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        for (size_t length = 1; length + 1 < sizeof called; length += 5) {
            memset(called, 'x', length);
            called[length] = '\0';
            for (size_t blocks = 1; blocks < 5; blocks++) {
                refusal r;
                const baronet_allocator *const allocator = refusal_start(&r, blocks);
                baronet_netlist *n;
                const baronet_status status = baronet_netlist_read_text(
                    called, texts[i], strlen(texts[i]), allocator, NULL, &n);
                cr_assert_eq(status, r.done ? BARONET_OUT_OF_MEMORY : BARONET_OK, "%zu %zu: %d",
                             length, blocks, (int)status);
                baronet_netlist_destroy(n);
            }
        }
    }
}

/* A process with a decimal comma reads the same numbers. */
Test(netlist, a_comma_in_the_locale) {
    const char *const folder = getenv("COMMA_LOCALES");
    if (folder)
        setenv("LOCPATH", folder, 1);
    setlocale(LC_ALL, "de_DE.UTF-8");
    baronet_netlist *const n = sample(sample_van);
    CHECK_REL(netlist_model(n)->vehicle.corner[0].x, -1.62, 1e-15, "as written in the sample");
    baronet_netlist_destroy(n);
}
