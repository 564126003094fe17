/* The page of `check`: whether the netlist is sound, what is in it, and whether its requirements
   are met. */
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/words.h"
#include "studies/gauge.h"

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

/* The gauges of all requirements, one a state that each is about, in their order. */
typedef struct judged {
    int count;
    gauge *gauge;
    int *requirement;     /* count: whose it is */
    double *value;        /* count, SI; NAN where the figure does not exist */
    balance_worst solved; /* how the equilibria that they are of were */
} judged;

static bool take_gauges(judged *out, inquiry *q) {
    const model *m = q->model;
    arena *a = q->page->arena;
    const size_t most = (size_t)m->requirements * (size_t)m->states;
    *out = (judged){.gauge = ARENA_ARRAY(a, gauge, most),
                    .requirement = ARENA_ARRAY(a, int, most),
                    .value = ARENA_ARRAY(a, double, most)};
    if (!arena_complete(a)) {
        return false;
    }
    for (int k = 0; k < m->requirements; k++) {
        const requirement *r = &m->requirement[k];
        for (int state = 0; state < m->states; state++) {
            if ((r->state < 0 || r->state == state) &&
                gauge_find(&out->gauge[out->count], m, r, state)) {
                out->requirement[out->count++] = k;
            }
        }
    }
    return true;
}

static bool read_gauges(judged *out, inquiry *q) {
    gauges *g = NULL;
    if (!take_gauges(out, q) || gauges_create(&g, q->model, out->count, out->gauge, q->amplitude,
                                              q->allocator) != BARONET_OK) {
        return false;
    }
    baronet_status status = gauges_read(g, out->value);
    if (status == BARONET_OK) {
        status = gauges_join(&out->solved, g);
    }
    gauges_destroy(g);
    return status == BARONET_OK;
}

/* The worst of the states that the requirement is about. */
static verdict judge(const inquiry *q, const judged *all, int index) {
    const requirement *r = &q->model->requirement[index];
    verdict worst = {.met = true, .margin = HUGE_VAL, .state = -1};
    for (int k = 0; k < all->count; k++) {
        if (all->requirement[k] != index || isnan(all->value[k])) {
            continue;
        }
        const double over = all->value[k] - r->value;
        const double margin = r->relation == REQUIRE_ABOVE ? over : -over;
        if (margin < worst.margin) {
            worst =
                (verdict){true, margin > 0.0, all->gauge[k].figure, margin, all->gauge[k].state};
            worst.figure.value = all->value[k];
        }
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

/* Tells how the equilibria were solved that requirements are judged in. */
static balance_worst judge_all(inquiry *q) {
    page *p = q->page;
    const model *m = q->model;
    if (m->requirements == 0) {
        return (balance_worst){0};
    }
    static const char *const header[] = {"verdict", "in state", "got", "margin", "requirement"};
    page_add(p, BLOCK_HEADING, "Requirements");
    table *t = page_table(p, 5, 2, header);
    table_set_prose(t);
    int missed = 0, unjudged = 0;
    judged all;
    if (!read_gauges(&all, q)) {
        p->failed = true;
        return all.solved;
    }
    for (int k = 0; k < m->requirements; k++) {
        const requirement *r = &m->requirement[k];
        verdict v = judge(q, &all, k);
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
    return all.solved;
}

static void list_states(inquiry *q, balance_worst beside) {
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
    words_equilibria(p, &q->states, LEVEL_NONE, beside);
}

baronet_status baronet_check(const baronet_netlist *netlist, const baronet_question *question,
                             baronet_answer **answer, const char **what) {
    inquiry q;
    baronet_status status =
        inquiry_open(&q, netlist, question, STATES_NAMED, INQUIRY_STANDING, what);
    page_set_study(q.page, "check");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    inquiry_title(&q);
    page_addf(q.page, BLOCK_LEAD, "The netlist is sound: %s.", contents(q.page, q.model));
    list_states(&q, judge_all(&q));
    page_add(q.page, BLOCK_HEADING, "Cautions and notes");
    words_cautions(q.page, q.charge, &q.states);
    return inquiry_close(&q, BARONET_OK, answer);
}
