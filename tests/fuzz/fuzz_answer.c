/* A netlist to an answer in some format. The first byte chooses the study, the second the format.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <stdlib.h>

#include "input.h"
#include "netlist/netlist.h"

static baronet_study *const studies[] = {
    baronet_check,    baronet_rates,  baronet_states, baronet_stroke, baronet_times,
    baronet_response, baronet_ride,   baronet_draw,   baronet_parts,  baronet_play,
    baronet_faults,   baronet_report, baronet_vary,   baronet_size,   baronet_spread};
enum { STUDIES = sizeof studies / sizeof studies[0] };

/* What is asked of any netlist that gives the name `it` to a value by `let`. */
static const baronet_change change = {"it=+-5%", NULL};
static const baronet_question question = {
    .points = 3, .runs = 20, .workers = 1, .bend = 2.5, .change = &change, .changes = 1};

/* Few enough parts for an answer in a second or so. */
static bool is_small(const model *m) {
    for (int k = 0; k < m->scripts; k++)
        if (m->script[k].until > 3.0 || m->script[k].actions > 10)
            return false;
    return m->vehicle.corners <= 6 && m->network.nodes <= 20 && m->network.edges <= 30 &&
           m->states <= 5 && m->cases <= 3 && m->scripts <= 2 && m->motions <= 4;
}

/* No figure is given that is not a number. */
static void look_at_figures(const baronet_answer *answer) {
    for (size_t k = 0; k < baronet_answer_figures(answer); k++)
        if (!isfinite(baronet_answer_figure(answer, k)->value))
            abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size < 2)
        return 0;
    baronet_netlist *const n = input_netlist(data + 2, size - 2);
    baronet_answer *answer = NULL;
    const char *what = NULL, *bytes = NULL;
    size_t length = 0;
    baronet_question q = question;
    q.units = (baronet_unit_system)(data[1] / BARONET_FORMATS % 3);
    if (n && is_small(netlist_model(n)) &&
        studies[data[0] % STUDIES](n, &q, &answer, &what) == BARONET_OK)
        (void)!baronet_answer_render(answer, (baronet_format)(data[1] % BARONET_FORMATS), false,
                                     &bytes, &length);
    if (answer)
        look_at_figures(answer);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(n);
    return 0;
}
