/* A variant has to give what its netlist gives by itself, whoever works it out and after what.
   SPDX-License-Identifier: MIT */
#include "studies/variants.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "netlist/edit.h"
#include "netlist/patch.h"
#include "netlist/wish.h"
#include "numeric/chance.h"
#include "studies/rig.h"
#include "support.h"

enum { DIALS = 3, GAUGES = 4, COUNT = 61 };

typedef struct field {
    rig r;
    arena *arena;
    dial dial[DIALS];
    gauge gauge[GAUGES];
    variants_question question;
} field;

static const char *const plain[GAUGES] = {
    "ride_frequency of RL settled in easy", "roll_rate settled in town",
    "gauge_pressure of rear-left-air in easy with holiday", "stiffness of RL/RR parked in firm"};

static const char *const dear[GAUGES] = {
    "ride_frequency of RL ride in easy", "settle_time_63 of heave in town",
    "damping_ratio of 1 in town", "path_frequency of throttle in easy"};

/* The last range goes below the unsprung mass, so that some variants have no answer. */
static const char *const changes[DIALS] = {"rear-left-tank.volume=1L..8L", "throttle-bore=1mm..4mm",
                                           "RL.load=20kg..250kg"};

static field open_field(const char *const *figures) {
    field f = {.r = rig_open_file("netlists/camper.air"), .arena = arena_create(NULL)};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    for (int i = 0; i < DIALS; i++)
        cr_assert_eq(
            netlist_dial(f.r.netlist, "--change", changes[i], NULL, f.arena, d, &f.dial[i]),
            BARONET_OK, "%s", baronet_diagnostics_text(d, false));
    for (int i = 0; i < GAUGES; i++) {
        requirement wish;
        cr_assert_eq(netlist_wish(f.r.netlist, "--of", figures[i], WISH_FIGURE, f.arena, d, &wish),
                     BARONET_OK, "%s", baronet_diagnostics_text(d, false));
        cr_assert(gauge_find(&f.gauge[i], f.r.model, &wish, wish.state));
    }
    baronet_diagnostics_destroy(d);
    return f;
}

static void ask_field(field *f, int workers) {
    f->question = (variants_question){.netlist = f->r.netlist,
                                      .dials = DIALS,
                                      .dial = f->dial,
                                      .gauges = GAUGES,
                                      .gauge = f->gauge,
                                      .amplitude = 0.01,
                                      .workers = workers};
}

static void close_field(field *f) {
    arena_destroy(f->arena);
    rig_close(&f->r);
}

/* Where not, each variant is read again from text. */
static bool can_be_patched(const field *f) {
    patch *p = NULL;
    const baronet_status status = patch_create(&p, f->r.netlist, DIALS, f->dial, NULL);
    patch_destroy(p);
    return status == BARONET_OK;
}

static void scatter(const void *context, long index, double *values) {
    const field *const f = context;
    for (int i = 0; i < DIALS; i++)
        values[i] =
            f->dial[i].low + (f->dial[i].high - f->dial[i].low) *
                                 chance_even(5, (unsigned long long)index, (unsigned long long)i);
}

/* Returns the largest residual. */
static double read_all(field *f, int workers, long first, long count, double *result,
                       problem *why) {
    ask_field(f, workers);
    variants *v = NULL;
    long done = 0;
    cr_assert_eq(variants_create(&v, &f->question, NULL), BARONET_OK);
    cr_assert_eq(variants_read(v, scatter, f, first, count, result, why, &done), BARONET_OK);
    cr_assert_eq(done, count);
    const double residual = variants_residual(v);
    variants_destroy(v);
    return residual;
}

/* To the bit, with one worker, with two and three, and in pieces. */
Test(variants, do_not_depend_on_who_works_them_out) {
    static double one[COUNT * GAUGES], other[COUNT * GAUGES];
    static problem why[COUNT];
    field f = open_field(plain);
    const double worst = read_all(&f, 1, 0, COUNT, one, why);
    int failed = 0;
    for (int i = 0; i < COUNT; i++)
        failed += why[i].status != BARONET_OK;
    cr_expect(failed > 2 && failed < COUNT - 10, "%d have no answer", failed);
    for (int workers = 2; workers <= 3; workers++) {
        cr_expect_eq(read_all(&f, workers, 0, COUNT, other, NULL), worst, "%d workers", workers);
        cr_expect(memcmp(one, other, sizeof one) == 0, "%d workers", workers);
    }
    const double first = read_all(&f, 2, 0, 17, other, NULL);
    const double rest = read_all(&f, 1, 17, COUNT - 17, other + 17 * GAUGES, NULL);
    cr_expect_eq(fmax(first, rest), worst, "the worst of the pieces");
    cr_expect(memcmp(one, other, sizeof one) == 0, "in pieces");
    close_field(&f);
}

/* One by one, by who reads in the same way. */
Test(variants, the_residual_is_the_worst_of_each) {
    field f = open_field(plain);
    patch *p = NULL;
    gauges *g = NULL;
    double values[DIALS], result[COUNT * GAUGES], worst = 0.0;
    cr_assert_eq(patch_create(&p, f.r.netlist, DIALS, f.dial, NULL), BARONET_OK);
    cr_assert_eq(gauges_create(&g, patch_model(p), GAUGES, f.gauge, 0.01, NULL), BARONET_OK);
    cr_assert_eq(gauges_read(g, result), BARONET_OK);
    for (int i = 0; i < COUNT; i++) {
        scatter(&f, i, values);
        patch_set(p, values);
        cr_assert_eq(gauges_read(g, result), BARONET_OK);
        worst = fmax(worst, gauges_residual(g));
    }
    const double got = read_all(&f, 2, 0, COUNT, result, NULL);
    cr_expect(got > 0.0 && got < 1e-9, "as balance_solve allows: %g", got);
    cr_expect_eq(got, worst);
    gauges_destroy(g);
    patch_destroy(p);
    close_field(&f);
}

static void check_rebuilt(const char *const *figures, int count) {
    static double result[COUNT * GAUGES];
    field f = open_field(figures);
    cr_assert(can_be_patched(&f));
    problem why[COUNT];
    read_all(&f, 2, 0, count, result, why);
    for (int i = 0; i < count; i++) {
        double values[DIALS], own[GAUGES];
        baronet_netlist *again = NULL;
        gauges *g = NULL;
        scatter(&f, i, values);
        if (netlist_again(f.r.netlist, DIALS, f.dial, values, NULL, &again) != BARONET_OK) {
            cr_expect(isnan(result[i * GAUGES]) && why[i].status != BARONET_OK);
            continue;
        }
        cr_assert_eq(gauges_create(&g, netlist_model(again), GAUGES, f.gauge, 0.01, NULL),
                     BARONET_OK);
        cr_assert_eq(gauges_read(g, own), BARONET_OK);
        for (int k = 0; k < GAUGES; k++) {
            cr_expect_eq(isnan(own[k]), isnan(result[i * GAUGES + k]));
            if (!isnan(own[k]))
                CHECK_REL(result[i * GAUGES + k], own[k], 1e-9, "the netlist with these values");
        }
        gauges_destroy(g);
        baronet_netlist_destroy(again);
    }
    close_field(&f);
}

Test(variants, are_what_their_netlists_give) {
    check_rebuilt(plain, COUNT);
}

Test(variants, are_what_their_netlists_give_for_dear_figures) {
    check_rebuilt(dear, 3);
}

static bool stop_soon(void *context, double part) {
    double *const last = context;
    *last = part;
    return part < 0.3;
}

Test(variants, shares_are_all_when_put_together) {
    for (int shares = 1; shares <= 60; shares += 7) {
        long next = 0;
        for (int share = 1; share <= shares; share++) {
            variants_rows rows;
            variants_share(49, share, shares, &rows);
            cr_assert_eq(rows.first, next);
            cr_assert(rows.count >= 0);
            next = rows.first + rows.count;
        }
        cr_assert_eq(next, 49);
    }
}

Test(variants, may_be_ended_early) {
    static double result[16000 * GAUGES];
    field f = open_field(plain);
    double last = 0.0;
    variants *v = NULL;
    long done = 0;
    ask_field(&f, 1);
    f.question.progress = stop_soon;
    f.question.progress_context = &last;
    cr_assert_eq(variants_create(&v, &f.question, NULL), BARONET_OK);
    cr_assert_eq(variants_read(v, scatter, &f, 0, 16000, result, NULL, &done), BARONET_OK);
    cr_expect(done >= 4800 && done < 16000);
    CHECK_REL(last, (double)done / 16000.0, 1e-12, "what it was told last");
    variants_destroy(v);
    close_field(&f);
}

/* A corner's place cannot be patched, so its netlist is read again. */
Test(variants, some_are_read_again) {
    field f = open_field(plain);
    double result[5 * GAUGES], own[GAUGES];
    problem why[5];
    variants *v = NULL;
    long done = 0;
    cr_assert_eq(netlist_dial(f.r.netlist, "--change", "RL.at=-1.8m..-1.5m", NULL, f.arena, NULL,
                              &f.dial[2]),
                 BARONET_OK);
    cr_assert_not(can_be_patched(&f));
    ask_field(&f, 2);
    cr_assert_eq(variants_create(&v, &f.question, NULL), BARONET_OK);
    cr_assert_eq(variants_read(v, scatter, &f, 3, 5, result, why, &done), BARONET_OK);
    double values[DIALS];
    baronet_netlist *again = NULL;
    gauges *g = NULL;
    scatter(&f, 6, values);
    cr_assert_eq(netlist_again(f.r.netlist, DIALS, f.dial, values, NULL, &again), BARONET_OK);
    cr_assert_eq(gauges_create(&g, netlist_model(again), GAUGES, f.gauge, 0.01, NULL), BARONET_OK);
    cr_assert_eq(gauges_read(g, own), BARONET_OK);
    CHECK_REL(result[3 * GAUGES + 1], own[1], 0.0, "the netlist with these values");
    cr_expect(gauges_residual(g) > 0.0 && variants_residual(v) >= gauges_residual(g));
    gauges_destroy(g);
    baronet_netlist_destroy(again);
    variants_destroy(v);
    close_field(&f);
}

Test(variants, memory_may_run_out_anywhere) {
    field f = open_field(plain);
    failing fail;
    for (size_t k = 1;; k = k < 100 ? k + 1 : k + k / 16) {
        const baronet_allocator *const allocator = failing_start(&fail, k);
        double result[2 * GAUGES];
        variants *v = NULL;
        long done = 0;
        ask_field(&f, 1);
        baronet_status status = variants_create(&v, &f.question, allocator);
        if (status == BARONET_OK)
            status = variants_read(v, scatter, &f, 0, 2, result, NULL, &done);
        cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY);
        variants_destroy(v);
        cr_assert_eq(fail.live, 0);
        if (!fail.failed)
            break;
    }
    close_field(&f);
}

/* Once made, plain figures take no memory however many variants are read. */
Test(variants, take_no_memory_while_they_are_read) {
    static double result[2000 * GAUGES];
    field f = open_field(plain);
    failing count;
    const baronet_allocator *const allocator = failing_start(&count, 0);
    variants *v = NULL;
    long done = 0;
    cr_assert_eq(
        netlist_dial(f.r.netlist, "--change", "RL.load=+-5%", NULL, f.arena, NULL, &f.dial[2]),
        BARONET_OK);
    ask_field(&f, 1);
    cr_assert_eq(variants_create(&v, &f.question, allocator), BARONET_OK);
    const size_t before = count.calls;
    cr_assert_eq(variants_read(v, scatter, &f, 0, 2000, result, NULL, &done), BARONET_OK);
    cr_expect_eq(count.calls, before);
    variants_destroy(v);
    cr_expect_eq(count.live, 0);
    close_field(&f);
}

/* One mass, a spring and a tank behind a restrictor, whose damping is a study of its own. */
static const char damped[] = "profile p area 88 cm2 volume 2.2 L at 150 mm\n"
                             "corner c at 0 m 0 m load 410 kg unsprung 40 kg tyre 210 N/mm\n"
                             "spring s on c profile p height 150 mm\n"
                             "tank t volume 3.3 L\nrestrictor r from s to t bore 6 mm\n";

/* Asks a netlist for one figure that has a number. */
static void open_numbered(field *f, const char *netlist, const char *quantity, int dials,
                          const char *const *said) {
    *f = (field){.r = rig_open("%s", netlist), .arena = arena_create(NULL)};
    const requirement wish = {.quantity = quantity, .subject = "1", .load_case = -1};
    for (int i = 0; i < dials; i++)
        cr_assert_eq(
            netlist_dial(f->r.netlist, "--change", said[i], NULL, f->arena, NULL, &f->dial[i]),
            BARONET_OK);
    cr_assert(gauge_find(&f->gauge[0], f->r.model, &wish, 0));
    ask_field(f, 1);
    f->question.dials = dials;
    f->question.gauges = 1;
}

static void listed(const void *context, long index, double *values) {
    const field *const f = context;
    for (int i = 0; i < f->question.dials; i++)
        values[i] = f->dial[i].value[index];
}

/* Read again, a netlist may turn out to be none. */
Test(variants, a_netlist_that_is_not_sound_has_no_figures) {
    static const char *const said[] = {"c.load=410kg,30kg,350kg", "c.at=0m,0.1m,0.2m"};
    field f;
    open_numbered(&f, damped, "damping_ratio", 2, said);
    variants *v = NULL;
    double result[3];
    problem why[3];
    long done = 0;
    cr_assert_eq(variants_create(&v, &f.question, NULL), BARONET_OK);
    cr_assert_eq(variants_read(v, listed, &f, 0, 3, result, why, &done), BARONET_OK);
    cr_expect_eq(why[1].status, BARONET_BAD_NETLIST, "less than what is unsprung");
    cr_expect(isnan(result[1]));
    for (int i = 0; i < 3; i += 2) {
        cr_expect_eq(why[i].status, BARONET_OK);
        cr_expect(result[i] > 0.0 && result[i] < 1.0);
    }
    variants_destroy(v);
    close_field(&f);
}

/* Dear figures take memory as they are read; patched or read again, from all workers' midst. */
static void starve(int dials, const char *const *said) {
    field f;
    open_numbered(&f, damped, "damping_ratio", dials, said);
    failing fail = {.failed = true};
    for (size_t k = 1; fail.failed; k += 1 + k / 16) {
        const baronet_allocator *const allocator = failing_start(&fail, k);
        double result[3];
        variants *v = NULL;
        long done = 0;
        baronet_status status = variants_create(&v, &f.question, allocator);
        if (status == BARONET_OK)
            status = variants_read(v, listed, &f, 0, 3, result, NULL, &done);
        cr_assert_eq(status, fail.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        variants_destroy(v);
        cr_assert_eq(fail.live, 0, "request %zu", k);
    }
    close_field(&f);
}

Test(variants, memory_may_run_out_in_dear_figures) {
    static const char *const said[] = {"r.bore=2mm,3mm,5mm", "c.at=0m,0.1m,0.2m"};
    starve(1, said);
    starve(2, said);
}

/* Large networks are asked for their eigenvalues by one worker, whoever many there are. */
Test(variants, large_networks_are_read_by_one) {
    text_buffer words = {0};
    text_buffer_format(&words, "gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
                               "spring s profile p height 150 mm load 410 kg\n");
    char last[8] = "s", next[8];
    for (int k = 0; k < 100; k++) {
        snprintf(next, sizeof next, "t%d", k);
        text_buffer_format(&words,
                           "tank %s volume %.2f L\nrestrictor r%d from %s to %s bore 6 mm\n", next,
                           0.1 + 0.01 * k, k, last, next);
        memcpy(last, next, sizeof last);
    }
    static const char *const said[] = {"t7.volume=0.2L,0.3L,0.5L"};
    double one[3], two[3];
    for (int workers = 1; workers <= 2; workers++) {
        field f;
        variants *v = NULL;
        long done = 0;
        open_numbered(&f, words.bytes, "time_constant", 1, said);
        f.question.workers = workers;
        cr_assert_eq(variants_create(&v, &f.question, NULL), BARONET_OK);
        cr_assert_eq(variants_read(v, listed, &f, 0, 3, workers == 1 ? one : two, NULL, &done),
                     BARONET_OK);
        variants_destroy(v);
        close_field(&f);
    }
    cr_expect_eq(memcmp(one, two, sizeof one), 0, "to the bit");
    cr_expect(one[0] > 0.0 && one[0] < one[1] && one[1] < one[2], "more room takes longer");
    text_buffer_free(&words);
}
