/* rig.c: see rig.h.
   SPDX-License-Identifier: MIT */
#include "studies/rig.h"

#include <criterion/criterion.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

static void start(rig *r) {
    r->model = netlist_model(r->netlist);
    r->arena = arena_create(NULL);
    cr_assert(r->arena != NULL);
    cr_assert_eq(charge_create(&r->charge, r->model, NULL), BARONET_OK);
}

static char *print(const char *format, va_list arguments) {
    va_list again;
    va_copy(again, arguments);
    const int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *const words = malloc((size_t)length + 1);
    cr_assert(length >= 0 && words != NULL);
    vsnprintf(words, (size_t)length + 1, format, arguments);
    return words;
}

rig rig_open(const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    char *const words = print(format, arguments);
    va_end(arguments);
    rig r = {.diagnostics = baronet_diagnostics_create(NULL, 0)};
    cr_assert(r.diagnostics != NULL);
    const baronet_status status =
        baronet_netlist_read_text("rig", words, strlen(words), NULL, r.diagnostics, &r.netlist);
    cr_assert_eq(status, BARONET_OK, "%s", baronet_diagnostics_text(r.diagnostics, false));
    free(words);
    start(&r);
    return r;
}

rig rig_open_file(const char *path) {
    rig r = {.diagnostics = baronet_diagnostics_create(NULL, 0)};
    cr_assert(r.diagnostics != NULL);
    const baronet_status status = baronet_netlist_read(path, NULL, NULL, r.diagnostics, &r.netlist);
    cr_assert_eq(status, BARONET_OK, "%s", baronet_diagnostics_text(r.diagnostics, false));
    start(&r);
    return r;
}

void rig_close(rig *r) {
    arena_destroy(r->arena);
    rates_destroy(r->rates);
    charge_destroy(r->charge);
    baronet_netlist_destroy(r->netlist);
    baronet_diagnostics_destroy(r->diagnostics);
}

baronet_status rig_solve_for(rig *r, const char *state, const load_case *with) {
    rates_destroy(r->rates);
    r->rates = NULL;
    baronet_status status = charge_solve(r->charge, &r->problem);
    if (status != BARONET_OK)
        return status;
    const int index = state != NULL ? rig_state(r, state) : r->model->charge_state;
    status = rates_create(&r->rates, r->charge, r->model->state[index].open, NULL, &r->problem);
    if (status != BARONET_OK)
        return status;
    status = rates_solve(r->rates, with);
    r->problem = rates_result(r->rates)->problem;
    cr_assert_eq(r->problem.status, status, "the answer's problem is the status");
    return status;
}

baronet_status rig_solve(rig *r, const char *state, const char *load_case_name) {
    return rig_solve_for(r, state, load_case_name != NULL ? rig_case(r, load_case_name) : NULL);
}

const rates_answer *rig_answer_for(rig *r, const char *state, const load_case *with) {
    const baronet_status status = rig_solve_for(r, state, with);
    cr_assert_eq(status, BARONET_OK, "%s: %s, item %d, amount %g", state != NULL ? state : "charge",
                 baronet_status_text(status), r->problem.item, r->problem.amount);
    return rates_result(r->rates);
}

const rates_answer *rig_answer(rig *r, const char *state, const char *load_case_name) {
    return rig_answer_for(r, state, load_case_name != NULL ? rig_case(r, load_case_name) : NULL);
}

play_answer *rig_play(rig *r, const script *s, const play_settings *with) {
    play_answer *a = NULL;
    (void)rig_answer(r, r->model->state[s->state].name, NULL);
    cr_assert_eq(play_run(&a, r->rates, r->charge->travel, s, with, NULL), BARONET_OK);
    return a;
}

/* Index of a name in one of the model's lists; `at` gives the names. */
static int find_name(const rig *r, int count, const char *(*at)(const model *m, int index),
                     const char *name) {
    for (int i = 0; i < count; i++) {
        const char *const found = at(r->model, i);
        if (found != NULL && strcmp(found, name) == 0)
            return i;
    }
    cr_assert_fail("there is no %s", name);
    return -1;
}

static const char *corner_name(const model *m, int i) {
    return m->vehicle.corner[i].name;
}

static const char *spring_name(const model *m, int i) {
    return m->vehicle.spring[i].name;
}

static const char *node_name(const model *m, int i) {
    return m->network.node[i].name;
}

static const char *edge_name(const model *m, int i) {
    return m->network.edge[i].name;
}

static const char *state_name(const model *m, int i) {
    return m->state[i].name;
}

static const char *case_name(const model *m, int i) {
    return m->load_case[i].name;
}

int rig_corner(const rig *r, const char *name) {
    return find_name(r, r->model->vehicle.corners, corner_name, name);
}

int rig_spring(const rig *r, const char *name) {
    return find_name(r, r->model->vehicle.springs, spring_name, name);
}

int rig_node(const rig *r, const char *name) {
    return find_name(r, r->model->network.nodes, node_name, name);
}

int rig_edge(const rig *r, const char *name) {
    return find_name(r, r->model->network.edges, edge_name, name);
}

int rig_state(const rig *r, const char *name) {
    return find_name(r, r->model->states, state_name, name);
}

const load_case *rig_case(const rig *r, const char *name) {
    return &r->model->load_case[find_name(r, r->model->cases, case_name, name)];
}

double rig_stiffness(const rig *r, const rates_answer *answer, level at, int force, int travel) {
    cr_assert(answer->level[at].given);
    return answer->level[at].stiffness[force * r->model->vehicle.corners + travel];
}

const figure *rig_figure(const rig *r, const figure_list *list, figure_quantity quantity, level at,
                         const char *subject) {
    text_buffer name = {0};
    const figure *found = NULL;
    for (size_t i = 0; i < list->count && found == NULL; i++) {
        const figure *const f = &list->figure[i];
        name.length = 0;
        figure_subject_text(r->model, f, &name);
        if (f->quantity == quantity && f->level == at &&
            strcmp(name.length > 0 ? name.bytes : "", subject) == 0)
            found = f;
    }
    text_buffer_free(&name);
    return found;
}

static const char *const small =
    "ambient pressure 98.3 kPa temperature 16 C\n"
    "gas thermal 5 s\nvehicle cg-height 0.8 m roll-axis 0.2 m\n"
    "corner L at 0 m 0.8 m load 520 kg unsprung 40 kg tyre 200 N/mm\n"
    "corner R at 0 m -0.78 m load 480 kg unsprung 40 kg tyre 200 N/mm\n"
    "bar hold between L R roll 300 N.m/deg\n"
    "profile p volume 2.1 L at 160 mm\n  height mm area cm2\n  90 150\n  160 141\n  230 137\n"
    "spring a on L ratio 0.9 profile p height 160 mm\n"
    "spring b on R ratio 0.9 profile p height 158 mm\n"
    "tank can volume 3 L\nhose x from a to can bore 8 mm length 0.5 m\n"
    "solenoid cross from can to b normally closed bore 5 mm bypass 0.3 mm\n"
    "state apart shut cross\nstate linked open cross\n"
    "case more L 60 kg levelled\n";

/* Asks one study of a netlist and renders the answer, on memory that ends. */
static void starve(baronet_study *study, const baronet_question *question, failing *f, size_t k) {
    const baronet_allocator *const memory = failing_start(f, k);
    baronet_diagnostics *const notes = baronet_diagnostics_create(memory, 0);
    baronet_netlist *netlist = NULL;
    baronet_answer *answer = NULL;
    const char *bytes = NULL, *what = NULL;
    size_t length = 0;
    baronet_status status = BARONET_OUT_OF_MEMORY;
    if (notes != NULL)
        status = baronet_netlist_read_text("small", small, strlen(small), memory, notes, &netlist);
    if (status == BARONET_OK)
        status = study(netlist, question, &answer, &what);
    if (status == BARONET_OK)
        status = baronet_answer_render(answer, BARONET_CSV, false, &bytes, &length);
    cr_assert_eq(status, f->failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    baronet_diagnostics_destroy(notes);
    cr_assert_eq(f->live, 0, "request %zu: blocks are left", k);
}

void rig_starve(baronet_study *study, const baronet_question *question) {
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++)
        starve(study, question, &f, k);
    cr_assert_gt(f.calls, 50);
}
