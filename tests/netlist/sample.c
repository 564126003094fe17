/* SPDX-License-Identifier: MIT */
#include "sample.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

static baronet_status read_sample(void *context, const char *path, size_t limit,
                                  const baronet_allocator *allocator, char **bytes, size_t *length,
                                  const char **reason) {
    for (const sample_file *f = context; f->path; f++) {
        if (strcmp(f->path, path) != 0)
            continue;
        *length = strlen(f->text);
        cr_assert_leq(*length, limit);
        *bytes = memory_resize(allocator, NULL, *length + 1);
        if (!*bytes)
            return BARONET_OUT_OF_MEMORY;
        memcpy(*bytes, f->text, *length);
        return BARONET_OK;
    }
    *reason = "there is no such sample";
    return BARONET_NO_FILE;
}

baronet_reader sample_reader(const sample_file *files) {
    return (baronet_reader){read_sample, (void *)(size_t)files};
}

char *sample_said(const char *text, baronet_status *status) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    const baronet_status got = baronet_netlist_read_text("x.air", text, strlen(text), NULL, d, &n);
    cr_assert_eq(got == BARONET_OK, n != NULL);
    char *const said = strdup(baronet_diagnostics_text(d, false));
    if (status)
        *status = got;
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
    return said;
}

baronet_netlist *sample(const char *text) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    const baronet_status status =
        baronet_netlist_read_text("x.air", text, strlen(text), NULL, d, &n);
    cr_assert_eq(status, BARONET_OK, "%s", baronet_diagnostics_text(d, false));
    baronet_diagnostics_destroy(d);
    return n;
}

void sample_refused(const char *text, const char *part) {
    baronet_status status;
    char *const said = sample_said(text, &status);
    cr_expect_eq(status, BARONET_BAD_NETLIST);
    cr_expect_not_null(strstr(said, part), "wanted: %s\nsaid: %s", part, said);
    free(said);
}

const char sample_van[] =
    "about \"Camper van, rear axle (invented)\"\n"
    "ambient pressure 100 kPa temperature 15 C\n"
    "gas thermal 6 s\n"
    "vehicle cg-height 0.85 m roll-axis 0.12 m roll-inertia 900 kg.m2 pitch-inertia 4200 kg.m2\n"
    "let w 9.5 mm\n"
    "corner RL at -1.62 m 0.81 m load 445 kg axle rear unsprung 55 kg tyre 260 N/mm\n"
    "  damper 2.1 kN.s/m coil 12 N/mm carries 60 kg   # a coil beside the air\n"
    "  bump-stop at 70 mm rate 90 N/mm rebound-stop at 85 mm rate 80 N/mm\n"
    "corner RR at -1.62 m -0.81 m load 431 kg axle rear unsprung 53 kg\n"
    "bar rear-bar between RL RR roll 300 N.m/deg\n"
    "profile sleeve\n"
    "  height mm area cm2 volume L\n"
    "  120 78.0 1.21\n"
    "  160 74.5 1.515\n"
    "  200 74.0 1.812\n"
    "profile piston area 95 cm2 volume 1.9 L at 150 mm\n"
    "spring left on RL ratio 0.95 profile sleeve height 165 mm rated 8 bar rubber 3 N/mm\n"
    "spring right on RR profile sleeve pressure 4.2 bar\n"
    "spring bench profile piston height 140 mm load 300 kg\n"
    "tank left-tank volume 4 L rated 12 bar pressure 6 bar\n"
    "tank right-tank volume 4.5 L\n"
    "tee middle volume 12 cm3\n"
    "supply shop pressure 8 bara\n"
    "hose left-hose from left to middle bore w length 0.45 m fittings 1.2 roughness 2 um\n"
    "solenoid left-gate from middle to left-tank normally closed bore 12 mm cd 0.72 volts 12 V\n"
    "  current 0.9 A opens-above 0.3 bar one-way bypass 0.8 mm rated 10 bar\n"
    "solenoid right-gate from right to right-tank normally open kv 1.1 m3/h xt 0.65\n"
    "  bypass sonic 0.01 L/s.bar critical 0.3\n"
    "solenoid cross from left to right normally closed cv 1.3 bypass kv 0.05 m3/h xt 0.6\n"
    "restrictor choke from right to bench sonic 0.8 L/s.bar critical 0.25\n"
    "check-valve fill from shop to left-tank bore 4 mm opens-at 0.05 bar\n"
    "regulator feed from shop to right-tank set 6 bar bore 4 mm\n"
    "relief safety from left-tank set 9 bar bore 6 mm\n"
    "compressor pump to right-tank\n"
    "  flow L/min pressure bar\n"
    "  20 8\n"
    "  60 0\n"
    "state easy open left-gate right-gate cross\n"
    "state taut shut left-gate right-gate cross\n"
    "state usual open right-gate\n"
    "charge in taut\n"
    "motion twist RL +1 RR -1\n"
    "case laden RL +150 kg RR +140 kg levelled\n"
    "case loaded-bench bench 20 lb\n"
    "event bend in easy at 0 s lateral 4 m/s2 over 0.5 s hold\n"
    "  when height of left above 190 mm shut cross state rest until 10 s\n"
    "require settle_time_63 of roll below 0.5 s in easy\n"
    "require gauge_pressure of left below 9 bara settled with laden\n";
