/* The page of `check`: whether the netlist is sound, what is in it, and whether its requirements
   are met. */
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/words.h"
#include "studies/felt.h"
#include "studies/ride.h"
#include "studies/times.h"

/* What a netlist can hold, for the first sentence. */
static const char *count_words(page *p, const char *list, int count, const char *one,
                               const char *many) {
    if (count == 0) {
        return list;
    }
    return words_join(p, list, page_format(p, "%d %s", count, count == 1 ? one : many), false);
}

static int nodes_of(const network *net, node_kind kind) {
    int count = 0;
    for (int i = 0; i < net->nodes; i++) {
        count += net->node[i].kind == kind;
    }
    return count;
}

static int edges_of(const network *net, edge_kind kind) {
    int count = 0;
    for (int i = 0; i < net->edges; i++) {
        count += net->edge[i].kind == kind;
    }
    return count;
}

/* `rest` is no state of its own where a named one is de-energised too. */
static int named_states(const model *m) {
    int at_rest = 0;
    for (int k = 0; k < m->states; k++) {
        at_rest += m->state[k].rest;
    }
    return at_rest > 1 ? m->states - 1 : m->states;
}

static const char *contents(page *p, const model *m) {
    const network *net = &m->network;
    const char *list = "";
    list = count_words(p, list, m->vehicle.wheels, "corner", "corners");
    list = count_words(p, list, m->vehicle.axles, "axle", "axles");
    list = count_words(p, list, m->vehicle.springs, "spring", "springs");
    list = count_words(p, list, nodes_of(net, NODE_TANK), "tank", "tanks");
    list = count_words(p, list, nodes_of(net, NODE_TEE), "tee", "tees");
    list = count_words(p, list, edges_of(net, EDGE_HOSE), "hose", "hoses");
    list = count_words(p, list, edges_of(net, EDGE_RESTRICTOR), "restrictor", "restrictors");
    list = count_words(p, list, net->solenoids, "solenoid", "solenoids");
    list = count_words(p, list,
                       net->edges - edges_of(net, EDGE_HOSE) - edges_of(net, EDGE_RESTRICTOR) -
                           net->solenoids,
                       "other valve or compressor", "other valves and compressors");
    list = count_words(p, list, nodes_of(net, NODE_SUPPLY), "supply", "supplies");
    list = count_words(p, list, named_states(m), "state", "states");
    list = count_words(p, list, m->cases, "case", "cases");
    list = count_words(p, list, m->scripts, "event", "events");
    return count_words(p, list, m->requirements, "requirement", "requirements");
}

/* One requirement in one state. */
typedef struct verdict {
    bool judged;
    bool met;
    figure figure;
    double margin; /* positive where met, in the figure's unit */
    int state;
} verdict;

/* Figures of time cost their own runs, so only what a requirement asks for is found. */
static baronet_status add_times(inquiry *q, figure_list *list, rates *r, const requirement *wish) {
    const figure_quantity quantity = (figure_quantity)figure_find(text_of(wish->quantity));
    times_question ask = {.parts = times_parts_of(quantity, (level)wish->level),
                          .amplitude = q->amplitude};
    ask.only = (ask.parts & (TIMES_SETTLED | TIMES_PARKED)) != 0 ? wish->subject : NULL;
    if (ask.parts == 0) {
        return BARONET_OK;
    }
    times_answer answer;
    const baronet_status status = times_solve(&answer, q->page->arena, r, &ask, q->allocator);
    if (status == BARONET_OK) {
        figures_of_times(list, &answer);
    }
    return status;
}

/* The same of how it rides, on the netlist's own road. */
static baronet_status add_ride(inquiry *q, figure_list *list, rates *r, const requirement *wish) {
    bool assumed = false;
    const ride_question ask = {
        .parts = ride_parts_of((figure_quantity)figure_find(text_of(wish->quantity))),
        .amplitude = q->amplitude,
        .frequency = TIMES_FREQUENCY,
        .road = ride_road(q->model, -1, 0.0, &assumed)};
    if (ask.parts == 0) {
        return BARONET_OK;
    }
    ride_answer answer;
    const baronet_status status = ride_solve(&answer, q->page->arena, r, &ask, q->allocator);
    if (status == BARONET_OK) {
        figures_of_ride(list, q->model, &answer);
    }
    return status;
}

static figure_list figures_in(inquiry *q, const requirement *wish, const load_case *with, int state,
                              baronet_status *status) {
    figure_list list = {.allocator = q->allocator};
    problem why;
    rates *r = NULL;
    *status = rates_create(&r, q->charge, q->model->state[state].open, q->allocator, &why);
    if (*status == BARONET_OK) {
        *status = rates_solve(r, with);
    }
    if (*status == BARONET_OK && (level)wish->level == LEVEL_RIDE) {
        *status = felt_solve(r, q->amplitude, q->allocator);
    }
    if (*status == BARONET_OK) {
        figures_of_rates(&list, q->model, rates_result(r));
        *status = add_times(q, &list, r, wish);
        if (*status == BARONET_OK) {
            *status = add_ride(q, &list, r, wish);
        }
    }
    rates_destroy(r);
    q->page->failed = q->page->failed || list.failed || *status == BARONET_OUT_OF_MEMORY;
    return list;
}

/* A level that is not given is the state's equilibrium, or settled where the figure has levels. */
static const figure *find_figure(const figure_list *list, const model *m, const requirement *r,
                                 figure_quantity quantity) {
    if (r->level != LEVEL_NONE) {
        return figure_list_find(list, m, quantity, (level)r->level, r->subject);
    }
    const figure *f = figure_list_find(list, m, quantity, LEVEL_NONE, r->subject);
    return f != NULL ? f : figure_list_find(list, m, quantity, LEVEL_SETTLED, r->subject);
}

/* The worst of the states that the requirement is about. */
static verdict judge(inquiry *q, const requirement *r) {
    const model *m = q->model;
    verdict worst = {.met = true, .margin = HUGE_VAL, .state = -1};
    const int quantity = figure_find(text_of(r->quantity));
    const load_case *with = r->load_case >= 0 ? &m->load_case[r->load_case] : NULL;
    for (int k = 0; k < m->states && quantity >= 0; k++) {
        if (r->state >= 0 && k != r->state) {
            continue;
        }
        baronet_status status = BARONET_OK;
        figure_list list = figures_in(q, r, with, k, &status);
        const figure *f = find_figure(&list, m, r, (figure_quantity)quantity);
        if (f != NULL) {
            const double over = f->value - r->value;
            const double margin = r->relation == REQUIRE_ABOVE ? over : -over;
            if (margin < worst.margin) {
                worst = (verdict){true, margin > 0.0, *f, margin, k};
            }
        }
        figure_list_free(&list);
    }
    return worst;
}

/* How they did in all; those that are not met are a caution. */
static void sum_up(page *p, int all, int missed, int unjudged) {
    const char *how = page_format(p, "%d of %d requirements met", all - missed - unjudged, all);
    if (missed > 0) {
        how = page_format(p, "%s, %d NOT MET", how, missed);
        page_set_status(p, BARONET_NOT_MET);
    }
    if (unjudged > 0) {
        how = page_format(p, "%s, %d not judged", how, unjudged);
    }
    page_addf(p, missed > 0 ? BLOCK_CAUTION : BLOCK_PLAIN, "%s%s", how, missed > 0 ? "" : ".");
    if (unjudged > 0) {
        page_add(p, BLOCK_NOTE,
                 "not judged: the figure does not exist in that state, or no study gives it yet");
    }
}

/* The figure that decided, for machines. */
static void add_figure(inquiry *q, const requirement *r, verdict *v) {
    const model *m = q->model;
    const figure_list one = {.figure = &v->figure, .count = 1};
    page_figures(q->page, "check", m->state[v->state].name,
                 r->load_case >= 0 ? m->load_case[r->load_case].name : "", m, &one);
}

static void judge_all(inquiry *q) {
    page *p = q->page;
    const model *m = q->model;
    if (m->requirements == 0) {
        return;
    }
    static const char *const header[] = {"verdict", "in state", "got", "margin", "requirement"};
    page_add(p, BLOCK_HEADING, "Requirements");
    table *t = page_table(p, 5, 2, header);
    table_set_prose(t);
    int missed = 0, unjudged = 0;
    for (int k = 0; k < m->requirements; k++) {
        const requirement *r = &m->requirement[k];
        verdict v = judge(q, r);
        const baronet_dimension dimension =
            figure_at((figure_quantity)figure_find(text_of(r->quantity)))->dimension;
        missed += v.judged && !v.met;
        unjudged += !v.judged;
        const char *cells[] = {v.judged ? (v.met ? "met" : "NOT MET") : "not judged",
                               v.judged ? m->state[v.state].name : NULL,
                               v.judged ? page_quantity(p, dimension, v.figure.value) : NULL,
                               v.judged ? page_change(p, dimension, v.margin) : NULL, r->text};
        table_add(t, cells);
        if (v.judged) {
            add_figure(q, r, &v);
        }
    }
    sum_up(p, m->requirements, missed, unjudged);
}

static void list_states(inquiry *q) {
    static const char *const header[] = {"state", "balance", "valves"};
    page *p = q->page;
    page_add(p, BLOCK_HEADING, "States");
    table *t = page_table(p, 3, 2, header);
    table_set_prose(t);
    for (int k = 0; k < q->states.count; k++) {
        const states_entry *e = &q->states.entry[k];
        const char *cells[] = {e->name,
                               e->problem.status == BARONET_OK ? "stands" : "does not stand",
                               words_state(p, q->model, e)};
        table_add(t, cells);
    }
    for (int k = 0; k < q->states.count; k++) {
        const states_entry *e = &q->states.entry[k];
        if (e->problem.status != BARONET_OK) {
            page_addf(p, BLOCK_CAUTION, "%s: %s", e->name, words_problem(p, q->model, &e->problem));
        }
    }
}

baronet_status baronet_check(const baronet_netlist *netlist, const baronet_question *question,
                             baronet_answer **answer, const char **what) {
    inquiry q;
    baronet_status status = inquiry_open(&q, netlist, question, STATES_NAMED, what);
    page_set_study(q.page, "check");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    inquiry_title(&q);
    page_addf(q.page, BLOCK_LEAD, "The netlist is sound: %s.", contents(q.page, q.model));
    judge_all(&q);
    list_states(&q);
    page_add(q.page, BLOCK_HEADING, "Cautions and notes");
    words_cautions(q.page, q.charge, &q.states);
    return inquiry_close(&q, BARONET_OK, answer);
}
