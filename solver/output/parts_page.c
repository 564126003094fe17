/* The page of `parts`: what to buy, what it has to stand, how to wire the solenoids. */
#include <math.h>
#include <stdlib.h>

#include "output/inquiry.h"
#include "output/words.h"
#include "studies/parts.h"

/* More names than this in one cell are counted only. */
enum { NAMES_SHOWN = 12 };

/* Millimetres, or thousandths of a foot: as finely as hose is cut. */
enum { CUT_DECIMALS = 3 };

/* m, by definition. */
static const double foot = 0.3048;

static const char *const kind_words[PART_KINDS] = {[PART_SPRING] = "air spring",
                                                   [PART_TANK] = "tank",
                                                   [PART_SUPPLY] = "supply",
                                                   [PART_TEE] = "tee",
                                                   [PART_HOSE] = "hose",
                                                   [PART_RESTRICTOR] = "restrictor",
                                                   [PART_SOLENOID] = "solenoid",
                                                   [PART_CHECK_VALVE] = "check valve",
                                                   [PART_REGULATOR] = "regulator",
                                                   [PART_RELIEF] = "relief",
                                                   [PART_COMPRESSOR] = "compressor"};

static const char *length_text(page *p, double metres) {
    return page_quantity(p, BARONET_LENGTH, metres);
}

/* A hose's length as one cuts and buys it: metres or feet, not thousands of millimetres. */
static const char *run_number(page *p, double metres, int decimals) {
    const bool feet = p->units == BARONET_IMPERIAL;
    return page_number(p, BARONET_NUMBER, feet ? metres / foot : metres, decimals);
}

static const char *run_unit(const page *p) {
    return p->units == BARONET_IMPERIAL ? "ft" : "m";
}

static const char *run_text(page *p, double metres, int decimals) {
    return page_format(p, "%s %s", run_number(p, metres, decimals), run_unit(p));
}

static const char *pressure_text(page *p, double gauge) {
    return page_quantity(p, BARONET_PRESSURE, gauge);
}

/* A path's size as a data sheet gives it. */
static const char *law_words(page *p, const law *l) {
    const double cv_of_kv = 1.156; /* IEC 60534-2-1 */
    switch (l->kind) {
    case LAW_BORE:
    case LAW_HOSE:
        return page_format(p, "bore %s", length_text(p, l->bore));
    case LAW_SONIC:
        return page_format(p, "C %s, b %s",
                           page_quantity(p, BARONET_SONIC_CONDUCTANCE, l->conductance),
                           page_number(p, BARONET_NUMBER, l->critical, -1));
    case LAW_KV:
        return p->units == BARONET_IMPERIAL
                   ? page_format(p, "Cv %s", page_number(p, BARONET_NUMBER, cv_of_kv * l->kv, -1))
                   : page_format(p, "Kv %s m3/h", page_number(p, BARONET_NUMBER, l->kv, -1));
    case LAW_NONE:
        break;
    }
    return "tight";
}

static const char *with(page *p, const char *list, const char *words) {
    return words_join(p, list, words, false);
}

static const char *solenoid_words(page *p, const edge *e) {
    const char *list = e->normally_open ? "normally open" : "normally closed";
    list = with(p, list, law_words(p, &e->path));
    if (e->bypass.kind != LAW_NONE) {
        list = with(p, list, page_format(p, "passes %s when shut", law_words(p, &e->bypass)));
    }
    if (e->opens_above > 0.0) {
        list = with(p, list,
                    page_format(p, "piloted: opens above %s", pressure_text(p, e->opens_above)));
    }
    list = e->one_way ? with(p, list, "holds one way only") : list;
    list = e->volts > 0.0 ? with(p, list, page_quantity(p, BARONET_VOLTAGE, e->volts)) : list;
    return e->current > 0.0 ? with(p, list, page_quantity(p, BARONET_CURRENT, e->current)) : list;
}

static const char *compressor_words(page *p, const model *m, const edge *e) {
    const char *list = page_format(
        p, "%s of free air at %s", page_quantity(p, BARONET_VOLUME_FLOW, e->table_flow[0]),
        pressure_text(p, fmax(e->table_pressure[0] - m->ambient.pressure, 0.0)));
    const double end = parts_no_flow(e);
    return isfinite(end) ? with(p, list,
                                page_format(p, "none from %s on",
                                            pressure_text(p, end - m->ambient.pressure)))
                         : list;
}

static const char *path_words(page *p, const model *m, const part_line *l) {
    const edge *e = &m->network.edge[l->item[0]];
    const char *size = law_words(p, &e->path);
    switch (l->kind) {
    case PART_HOSE:
        return page_format(p, "%s, length %s", size, run_text(p, e->path.length, CUT_DECIMALS));
    case PART_SOLENOID:
        return solenoid_words(p, e);
    case PART_CHECK_VALVE:
        return page_format(p, "%s, opens at %s", size, pressure_text(p, e->opens_at));
    case PART_REGULATOR:
        return page_format(p, "%s, set %s", size, pressure_text(p, e->set - m->ambient.pressure));
    case PART_RELIEF:
        return page_format(p, "%s, set %s", size, pressure_text(p, e->set));
    case PART_COMPRESSOR:
        return compressor_words(p, m, e);
    default:
        return size;
    }
}

/* What one orders by. */
static const char *size_words(page *p, const model *m, const part_line *l) {
    const node *n = &m->network.node[!part_is_edge(l->kind) ? l->item[0] : 0];
    switch (l->kind) {
    case PART_SPRING:
        return page_format(p, "profile %s",
                           m->vehicle.profile[m->vehicle.spring[n->item].profile].name);
    case PART_TANK:
        return page_quantity(p, BARONET_VOLUME, n->volume);
    case PART_SUPPLY:
        return page_format(p, "held at %s", pressure_text(p, n->pressure - m->ambient.pressure));
    case PART_TEE:
        return page_format(p, "%d port%s", l->ports, l->ports == 1 ? "" : "s");
    default:
        return path_words(p, m, l);
    }
}

/* Names of a line's parts: at most so many, 0 for all, with what stands between them. */
static const char *names_of(page *p, const model *m, const part_line *l, int most,
                            const char *between) {
    const int shown = most > 0 && l->count > most ? most : l->count;
    text_buffer names = {.allocator = p->allocator};
    for (int i = 0; i < shown; i++) {
        text_buffer_add(&names, i > 0 ? between : "");
        text_buffer_add(&names, parts_name(m, l->kind, l->item[i]));
    }
    if (shown < l->count) {
        text_buffer_format(&names, " and %d more", l->count - shown);
    }
    return page_keep(p, &names);
}

static const char *met_words(page *p, const model *m, const peak *one) {
    const char *words = "";
    switch (one->kind) {
    case PEAK_HELD:
        return "its own pressure";
    case PEAK_FILLED:
        return one->gauge > 0.0 ? "when filled, before valves open" : "nowhere above ambient";
    case PEAK_EVENT:
        return page_format(p, "event %s", m->script[one->script].name);
    case PEAK_STATE:
        words = page_format(p, "state %s", m->state[one->state].name);
        break;
    case PEAK_PARKED:
        words = page_format(p, "state %s, parked", m->state[one->state].name);
        break;
    }
    return one->load_case >= 0
               ? page_format(p, "%s, case %s", words, m->load_case[one->load_case].name)
               : words;
}

/* Parts of its rating, in thousandths, so that rounding does not decide an order; -1 without. */
static long use_of(const part_line *l) {
    return l->rated > 0.0 ? lround(1000.0 * l->highest.gauge / l->rated) : -1;
}

static const part_line *most_used(const parts_answer *a) {
    const part_line *found = NULL;
    for (int k = 0; k < a->lines; k++) {
        if (use_of(&a->line[k]) >= 0 && (found == NULL || use_of(&a->line[k]) > use_of(found))) {
            found = &a->line[k];
        }
    }
    return found;
}

static void lead(page *p, const parts_answer *a) {
    int parts = 0, unrated = 0;
    double hose = 0.0, energy = 0.0;
    for (int k = 0; k < a->lines; k++) {
        parts += a->line[k].count;
        unrated += a->line[k].rated > 0.0 ? 0 : a->line[k].count;
    }
    for (int k = 0; k < a->bores; k++) {
        hose += a->bore[k].length;
    }
    for (int k = 0; k < a->vessels; k++) {
        energy += a->vessel[k].energy;
    }
    page_addf(p, BLOCK_LEAD, "%d part%s in %d line%s; %s of hose; %d without a `rated` pressure.",
              parts, parts == 1 ? "" : "s", a->lines, a->lines == 1 ? "" : "s",
              run_text(p, hose, 2), unrated);
    const part_line *l = most_used(a);
    if (l != NULL) {
        page_addf(p, BLOCK_LEAD, "%s its rating: %s, %s of %s (%s).",
                  l->highest.gauge > l->rated ? "OVER" : "Nearest to",
                  parts_name(a->model, l->kind, l->highest_item),
                  pressure_text(p, l->highest.gauge), pressure_text(p, l->rated),
                  met_words(p, a->model, &l->highest));
    }
    page_addf(p, BLOCK_LEAD, "Springs and tanks hold up to %s, were all at their highest at once.",
              page_quantity(p, BARONET_ENERGY, energy));
}

static void schedule(page *p, const parts_answer *a) {
    const char *header[] = {"part", "qty", "what, and which"};
    page_add(p, BLOCK_HEADING, "Schedule");
    table *t = page_table(p, 3, 1, header);
    table_set_prose(t);
    for (int k = 0; k < a->lines; k++) {
        const part_line *l = &a->line[k];
        const char *cells[] = {kind_words[l->kind], page_format(p, "%d", l->count),
                               page_format(p, "%s: %s", size_words(p, a->model, l),
                                           names_of(p, a->model, l, NAMES_SHOWN, ", "))};
        table_add(t, cells);
    }
    if (a->bores > 0) {
        page_add(p, BLOCK_NOTE,
                 "each hose has two ends to fit; lengths are those of the netlist, without what "
                 "cutting takes");
    }
    page_add(p, BLOCK_NOTE,
             "springs, bars, dampers and stops of steel, brackets and wire are not listed");
}

static void hoses(page *p, const parts_answer *a) {
    const char *header[] = {page_format(p, "hose bore %s", page_unit(p, BARONET_LENGTH)), "pieces",
                            "ends", page_format(p, "longest %s", run_unit(p)),
                            page_format(p, "together %s", run_unit(p))};
    table *t = page_table(p, 5, 1, header);
    for (int k = 0; k < a->bores; k++) {
        const part_bore *b = &a->bore[k];
        const char *cells[] = {page_number(p, BARONET_LENGTH, b->bore, -1),
                               page_format(p, "%d", b->pieces), page_format(p, "%d", 2 * b->pieces),
                               run_number(p, b->longest, CUT_DECIMALS),
                               run_number(p, b->length, CUT_DECIMALS)};
        table_add(t, cells);
    }
}

static void add_pressure(page *p, table *t, const model *m, const part_line *l) {
    const char *name = parts_name(m, l->kind, l->highest_item);
    const char *cells[] = {
        l->count > 1 ? page_format(p, "%s (of %d)", name, l->count) : name,
        page_number(p, BARONET_PRESSURE, l->highest.gauge, page_fine(p, BARONET_PRESSURE)),
        l->rated > 0.0 ? page_number(p, BARONET_PRESSURE, l->rated, page_fine(p, BARONET_PRESSURE))
                       : "none",
        l->rated > 0.0 ? page_number(p, BARONET_NUMBER, 0.1 * (double)use_of(l), 1) : "-",
        met_words(p, m, &l->highest)};
    table_add(t, cells);
}

/* A line and the part of its rating that it meets. */
typedef struct ranked {
    long use;
    int line;
} ranked;

static int by_use(const void *left, const void *right) {
    const ranked *a = left, *b = right;
    return a->use != b->use ? (a->use < b->use) - (a->use > b->use)
                            : (a->line > b->line) - (a->line < b->line);
}

/* One row a line, the nearest to its rating first, those without one last. */
static void pressures(page *p, const parts_answer *a) {
    const char *header[] = {"highest of its line", page_unit(p, BARONET_PRESSURE), "rated", "%",
                            "met in"};
    page_add(p, BLOCK_HEADING, "Highest pressures");
    table *t = page_table(p, 5, 1, header);
    table_set_prose(t);
    ranked *order = ARENA_ARRAY(p->arena, ranked, a->lines);
    if (order == NULL) {
        p->failed = true;
        return;
    }
    for (int k = 0; k < a->lines; k++) {
        order[k] = (ranked){use_of(&a->line[k]), k};
    }
    qsort(order, (size_t)a->lines, sizeof *order, by_use);
    for (int k = 0; k < a->lines; k++) {
        add_pressure(p, t, a->model, &a->line[order[k].line]);
    }
}

static void add_vessel(page *p, table *t, const char *name, const part_vessel *v, double highest) {
    const double bar_litre = 100.0; /* Pa m3 */
    const char *cells[] = {
        name,
        page_number(p, BARONET_VOLUME, v->volume, -1),
        page_number(p, BARONET_PRESSURE, highest, page_fine(p, BARONET_PRESSURE)),
        page_number(p, BARONET_ENERGY, v->energy, -1),
        page_number(p, BARONET_PRESSURE, v->rated > 0.0 ? v->rated : (double)NAN,
                    page_fine(p, BARONET_PRESSURE)),
        page_number(p, BARONET_ENERGY, v->rated_energy, -1),
        page_number(p, BARONET_NUMBER, v->rated_pressure_volume / bar_litre, 0)};
    table_add(t, cells);
}

static void energies(page *p, const parts_answer *a) {
    const model *m = a->model;
    const char *energy = page_unit(p, BARONET_ENERGY), *pressure = page_unit(p, BARONET_PRESSURE);
    const char *header[] = {"stored energy",
                            page_unit(p, BARONET_VOLUME),
                            page_format(p, "highest %s", pressure),
                            energy,
                            page_format(p, "rated %s", pressure),
                            energy,
                            "bar L"};
    page_add(p, BLOCK_HEADING, "What the vessels hold");
    table *t = page_table(p, 7, 1, header);
    part_vessel all = {.rated_pressure_volume = (double)NAN};
    double most = 0.0;
    for (int k = 0; k < a->vessels; k++) {
        const part_vessel *v = &a->vessel[k];
        const double gauge = a->peaks.node[v->node].gauge;
        add_vessel(p, t, m->network.node[v->node].name, v, gauge);
        all.volume += v->volume;
        all.energy += v->energy;
        all.rated_energy += v->rated_energy;
        most += parts_most_energy(m->ambient.pressure + gauge, v->volume, m->ambient.pressure);
    }
    add_vessel(p, t, "all together", &all, (double)NAN);
    page_add(
        p, BLOCK_NOTE,
        "energy is p V/(k - 1) [1 - (pa/p)^((k - 1)/k)], k = 1.4, pressures absolute: air that "
        "expands to ambient without heat (the form of ASME PCC-2, article 501, for tests with "
        "air); springs count at their design height");
    if (all.energy > 0.0) {
        page_addf(p, BLOCK_NOTE,
                  "were the air to get all its heat back it would be (p - pa) V/(k - 1) (Brode): "
                  "%s times as much in all",
                  page_number(p, BARONET_NUMBER, most / all.energy, 1));
    }
    page_add(p, BLOCK_NOTE,
             "bar L is rated pressure times volume, by which rules sort vessels: Directive "
             "2014/29/EU asks for more above 50; which rule holds here, local codes say");
}

/* `power off`, with the name that this position has otherwise. */
static const char *off_words(page *p, const model *m) {
    for (int k = 0; k < m->states; k++) {
        if (m->state[k].rest && k != m->rest_state) {
            return page_format(p, "power off (%s)", m->state[k].name);
        }
    }
    return "power off";
}

static void truth_row(page *p, const model *m, table *t, const char *label, const bool *open) {
    const char **cells = ARENA_ARRAY(p->arena, const char *, m->network.solenoids + 1);
    if (cells == NULL) {
        p->failed = true;
        return;
    }
    cells[0] = label;
    for (int k = 0; k < m->network.solenoids; k++) {
        cells[k + 1] = page_format(p, "%s %s", parts_energised(&m->network, k, open) ? "ON" : "off",
                                   open[k] ? "open" : "shut");
    }
    table_add(t, cells);
}

static void list_normally_open(page *p, const model *m) {
    const char *list = "";
    int count = 0;
    for (int k = 0; k < m->network.solenoids; k++) {
        const edge *e = &m->network.edge[m->network.solenoid[k]];
        if (e->normally_open) {
            count++;
            list = with(p, list, page_format(p, "`%s`", e->name));
        }
    }
    if (count == 0) {
        page_add(p, BLOCK_NOTE, "all are normally closed: current opens them");
    } else {
        page_addf(p, BLOCK_NOTE, "normally open, so that current shuts %s: %s",
                  count == 1 ? "it" : "them", list);
    }
}

static void truth(page *p, const model *m) {
    const char **header = ARENA_ARRAY(p->arena, const char *, m->network.solenoids + 1);
    if (header == NULL) {
        p->failed = true;
        return;
    }
    header[0] = "coil and valve";
    for (int k = 0; k < m->network.solenoids; k++) {
        header[k + 1] = m->network.edge[m->network.solenoid[k]].name;
    }
    page_add(p, BLOCK_HEADING, "Solenoids");
    table *t = page_table(p, m->network.solenoids + 1, 1, header);
    truth_row(p, m, t, off_words(p, m), m->state[m->rest_state].open);
    for (int k = 0; k < m->states; k++) {
        if (k != m->rest_state) {
            truth_row(p, m, t, m->state[k].name, m->state[k].open);
        }
    }
    list_normally_open(p, m);
}

static void current_row(page *p, const parts_answer *a, table *t, const char *label, int state) {
    const char **cells = ARENA_ARRAY(p->arena, const char *, 2 * a->voltages + 1);
    if (cells == NULL) {
        p->failed = true;
        return;
    }
    cells[0] = label;
    for (int v = 0; v < a->voltages; v++) {
        const part_draw *d = &a->draw[state * a->voltages + v];
        cells[2 * v + 1] = page_format(p, "%d", d->coils);
        cells[2 * v + 2] = page_format(p, "%s%s", page_number(p, BARONET_CURRENT, d->current, 2),
                                       d->unknown > 0 ? " + ?" : "");
    }
    table_add(t, cells);
}

static const char *voltage_words(page *p, double volts) {
    return volts > 0.0 ? page_quantity(p, BARONET_VOLTAGE, volts) : "unknown voltage";
}

/* The state that draws most of a voltage: by name, with its current. */
static void wiring(page *p, const parts_answer *a, int v) {
    const model *m = a->model;
    int most = 0;
    for (int k = 1; k < m->states; k++) {
        if (a->draw[k * a->voltages + v].current > a->draw[most * a->voltages + v].current) {
            most = k;
        }
    }
    if (a->draw[m->states * a->voltages + v].unknown > 0) {
        page_addf(p, BLOCK_NOTE,
                  "%s: not every coil says its `current`, so no fuse can be named: add up what the "
                  "coils that are on take, by their plates; a fuse by the battery, above that and "
                  "below what the thinnest wire behind it carries",
                  voltage_words(p, a->voltage[v]));
        return;
    }
    page_addf(p, BLOCK_NOTE,
              "%s: a fuse by the battery, above the %s that `%s` draws (%s with every coil on) and "
              "below what the thinnest wire behind it carries",
              voltage_words(p, a->voltage[v]),
              page_quantity(p, BARONET_CURRENT, a->draw[most * a->voltages + v].current),
              m->state[most].name,
              page_quantity(p, BARONET_CURRENT, a->draw[m->states * a->voltages + v].current));
}

static void currents(page *p, const parts_answer *a) {
    const model *m = a->model;
    const char **header = ARENA_ARRAY(p->arena, const char *, 2 * a->voltages + 1);
    if (header == NULL) {
        p->failed = true;
        return;
    }
    header[0] = "current";
    for (int v = 0; v < a->voltages; v++) {
        header[2 * v + 1] = "coils";
        header[2 * v + 2] = page_format(p, "A at %s", voltage_words(p, a->voltage[v]));
    }
    table *t = page_table(p, 2 * a->voltages + 1, 1, header);
    current_row(p, a, t, off_words(p, m), m->rest_state);
    for (int k = 0; k < m->states; k++) {
        if (k != m->rest_state) {
            current_row(p, a, t, m->state[k].name, k);
        }
    }
    current_row(p, a, t, "every coil", m->states);
    for (int v = 0; v < a->voltages; v++) {
        wiring(p, a, v);
    }
    page_add(p, BLOCK_NOTE,
             "wiring, as is common practice: size wire for its length as well; put a diode or "
             "another suppressor across each coil, which gives a surge when it is switched off; "
             "seal connectors and hold the wire; compressors need a supply of their own");
    page_add(
        p, BLOCK_NOTE,
        "`faults` says what losing the current does to a vehicle that stands in another state");
}

static void over_ratings(page *p, const parts_answer *a) {
    for (int k = 0; k < a->lines; k++) {
        const part_line *l = &a->line[k];
        if (l->rated > 0.0 && l->highest.gauge > l->rated) {
            page_addf(p, BLOCK_CAUTION, "`%s` meets %s (%s) and is rated %s",
                      parts_name(a->model, l->kind, l->highest_item),
                      pressure_text(p, l->highest.gauge), met_words(p, a->model, &l->highest),
                      pressure_text(p, l->rated));
        }
    }
}

static void unrated(page *p, const parts_answer *a) {
    const char *list = "";
    int count = 0, shown = 0;
    for (int k = 0; k < a->lines; k++) {
        const part_line *l = &a->line[k];
        count += l->rated > 0.0 ? 0 : l->count;
        for (int i = 0; i < l->count && l->rated <= 0.0 && shown < NAMES_SHOWN; i++, shown++) {
            list = with(p, list, page_format(p, "`%s`", parts_name(a->model, l->kind, l->item[i])));
        }
    }
    if (count > 0) {
        const char *more =
            count > shown ? page_format(p, " and %d more", count - shown) : (const char *)"";
        page_addf(p, BLOCK_CAUTION,
                  "no `rated` pressure: %s%s; look up what each may carry, and buy none that may "
                  "carry less than is shown",
                  list, more);
    }
}

/* Whether a relief stands at a node that opens below its rating. */
static bool is_relieved(const network *net, int node_index) {
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        if (e->kind == EDGE_RELIEF && e->from == node_index &&
            e->set <= net->node[node_index].rated) {
            return true;
        }
    }
    return false;
}

static void compressors(page *p, const model *m) {
    for (int i = 0; i < m->network.edges; i++) {
        const edge *e = &m->network.edge[i];
        const node *n = &m->network.node[e->to];
        const double end =
            e->kind == EDGE_COMPRESSOR ? parts_no_flow(e) - m->ambient.pressure : 0.0;
        if (n->rated > 0.0 && end > n->rated && !is_relieved(&m->network, e->to)) {
            page_addf(p, BLOCK_CAUTION,
                      "`%s` can press more than the %s that `%s` is rated for, and no relief there "
                      "opens before",
                      e->name, pressure_text(p, n->rated), n->name);
        }
    }
}

static void gaps(page *p, const parts_answer *a) {
    const model *m = a->model;
    for (int k = 0; k < a->peaks.gaps; k++) {
        const peak_gap *g = &a->peaks.gap[k];
        const char *name = g->script >= 0 ? page_format(p, "event %s", m->script[g->script].name)
                           : g->load_case >= 0
                               ? page_format(p, "state %s with %s", m->state[g->state].name,
                                             m->load_case[g->load_case].name)
                               : page_format(p, "state %s", m->state[g->state].name);
        const char *why =
            g->started ? baronet_status_text(play_status(g->end)) : words_problem(p, m, &g->why);
        page_addf(p, BLOCK_CAUTION, "%s %s (%s): what it would have met is not in these pressures",
                  name, g->started ? "ends early" : "does not stand", why);
    }
}

static void cautions(page *p, const parts_answer *a) {
    over_ratings(p, a);
    unrated(p, a);
    compressors(p, a->model);
    gaps(p, a);
    page_add(p, BLOCK_CAUTION,
             "pressures are those of the netlist's states, cases and events alone: a hotter day, "
             "a fault or a longer bump may go higher, so leave room");
    page_add(p, BLOCK_CAUTION,
             "vessels: only such as have been proof-tested and carry their plate, with a relief "
             "that opens below the lowest rating it stands over");
    words_safety(p);
}

/* A line for a spreadsheet; what it does not have is blank. */
enum { CSV_LABELS = 6 };

enum {
    CSV_QUANTITY,
    CSV_BORE,
    CSV_LENGTH,
    CSV_TOTAL_LENGTH,
    CSV_VOLUME,
    CSV_PORTS,
    CSV_KV,
    CSV_SONIC,
    CSV_CRITICAL,
    CSV_OPENS_AT,
    CSV_OPENS_ABOVE,
    CSV_SET,
    CSV_FREE_AIR_FLOW,
    CSV_NO_FLOW_PRESSURE,
    CSV_VOLTS,
    CSV_CURRENT,
    CSV_HIGHEST_PRESSURE,
    CSV_RATED_PRESSURE,
    CSV_ENERGY_AT_HIGHEST,
    CSV_ENERGY_AT_RATED,
    CSV_RATED_BAR_LITRES,
    CSV_COLUMNS
};

static const series_column csv_column[CSV_COLUMNS] = {
    [CSV_QUANTITY] = {"quantity", BARONET_NUMBER},
    [CSV_BORE] = {"bore", BARONET_LENGTH},
    [CSV_LENGTH] = {"length", BARONET_LENGTH},
    [CSV_TOTAL_LENGTH] = {"total_length", BARONET_LENGTH},
    [CSV_VOLUME] = {"volume", BARONET_VOLUME},
    [CSV_PORTS] = {"ports", BARONET_NUMBER},
    [CSV_KV] = {"kv", BARONET_NUMBER},
    [CSV_SONIC] = {"sonic", BARONET_SONIC_CONDUCTANCE},
    [CSV_CRITICAL] = {"critical", BARONET_NUMBER},
    [CSV_OPENS_AT] = {"opens_at", BARONET_PRESSURE},
    [CSV_OPENS_ABOVE] = {"opens_above", BARONET_PRESSURE},
    [CSV_SET] = {"set", BARONET_PRESSURE},
    [CSV_FREE_AIR_FLOW] = {"free_air_flow", BARONET_VOLUME_FLOW},
    [CSV_NO_FLOW_PRESSURE] = {"no_flow_pressure", BARONET_PRESSURE},
    [CSV_VOLTS] = {"volts", BARONET_VOLTAGE},
    [CSV_CURRENT] = {"current", BARONET_CURRENT},
    [CSV_HIGHEST_PRESSURE] = {"highest_pressure", BARONET_PRESSURE},
    [CSV_RATED_PRESSURE] = {"rated_pressure", BARONET_PRESSURE},
    [CSV_ENERGY_AT_HIGHEST] = {"energy_at_highest", BARONET_ENERGY},
    [CSV_ENERGY_AT_RATED] = {"energy_at_rated", BARONET_ENERGY},
    [CSV_RATED_BAR_LITRES] = {"rated_bar_litres", BARONET_NUMBER},
};

/* A number that is there, or a blank. */
static double given(double value) {
    return value > 0.0 ? value : (double)NAN;
}

static void edge_values(const model *m, const part_line *l, double *value) {
    const edge *e = &m->network.edge[l->item[0]];
    value[CSV_BORE] = given(e->path.bore);
    value[CSV_LENGTH] = given(e->path.length);
    value[CSV_TOTAL_LENGTH] = given(l->count * e->path.length);
    value[CSV_KV] = given(e->path.kv);
    value[CSV_SONIC] = given(e->path.conductance);
    value[CSV_CRITICAL] = e->path.kind == LAW_SONIC ? e->path.critical : (double)NAN;
    value[CSV_OPENS_AT] = given(e->opens_at);
    value[CSV_OPENS_ABOVE] = given(e->opens_above);
    value[CSV_SET] = l->kind == PART_REGULATOR ? e->set - m->ambient.pressure : given(e->set);
    if (l->kind == PART_COMPRESSOR) {
        value[CSV_FREE_AIR_FLOW] = e->table_flow[0];
        value[CSV_NO_FLOW_PRESSURE] = parts_no_flow(e) - m->ambient.pressure;
    }
    value[CSV_VOLTS] = given(e->volts);
    value[CSV_CURRENT] = given(e->current);
}

static void node_values(const parts_answer *a, const part_line *l, double *value) {
    value[CSV_PORTS] = given(l->ports);
    for (int k = 0; k < a->vessels && (l->kind == PART_SPRING || l->kind == PART_TANK); k++) {
        const part_vessel *v = &a->vessel[k];
        if (v->node == l->highest_item) {
            value[CSV_VOLUME] = v->volume;
            value[CSV_ENERGY_AT_HIGHEST] = v->energy;
            value[CSV_ENERGY_AT_RATED] = v->rated_energy;
            value[CSV_RATED_BAR_LITRES] = v->rated_pressure_volume / 100.0; /* bar L */
        }
    }
}

static void line_values(const parts_answer *a, const part_line *l, double *value) {
    for (int i = 0; i < CSV_COLUMNS; i++) {
        value[i] = (double)NAN;
    }
    value[CSV_QUANTITY] = l->count;
    value[CSV_HIGHEST_PRESSURE] = l->highest.gauge;
    value[CSV_RATED_PRESSURE] = given(l->rated);
    if (!part_is_edge(l->kind)) {
        node_values(a, l, value);
    } else {
        edge_values(a->model, l, value);
    }
}

/* Where a solenoid stands without current; nothing of other parts. */
static const char *rest_word(const model *m, const part_line *l) {
    return l->kind != PART_SOLENOID                    ? ""
           : m->network.edge[l->item[0]].normally_open ? "open"
                                                       : "shut";
}

static void add_series(page *p, const parts_answer *a) {
    static const char *const labels[CSV_LABELS] = {"kind",  "size",       "at_rest",
                                                   "names", "highest_of", "met_in"};
    const model *m = a->model;
    series *out = page_series(p, CSV_LABELS, labels, CSV_COLUMNS, csv_column);
    for (int k = 0; k < a->lines; k++) {
        const part_line *l = &a->line[k];
        double value[CSV_COLUMNS];
        line_values(a, l, value);
        const char *names[CSV_LABELS] = {kind_words[l->kind],
                                         size_words(p, m, l),
                                         rest_word(m, l),
                                         names_of(p, m, l, 0, " "),
                                         parts_name(m, l->kind, l->highest_item),
                                         met_words(p, m, &l->highest)};
        series_add(out, names, value);
    }
}

static void title(inquiry *q) {
    const model *m = q->model;
    page_add(q->page, BLOCK_TITLE, m->about[0] != '\0' ? m->about : "Untitled netlist");
    page_addf(q->page, BLOCK_PLAIN,
              "parts of the air system; pressures are gauge, the highest over every state, in the "
              "base case and %d load case%s, and %d event%s; ambient %s absolute, %s",
              m->cases, m->cases == 1 ? "" : "s", m->scripts, m->scripts == 1 ? "" : "s",
              page_quantity(q->page, BARONET_PRESSURE, m->ambient.pressure),
              page_quantity(q->page, BARONET_TEMPERATURE, m->ambient.temperature));
}

static void show(inquiry *q, const parts_answer *a) {
    page *p = q->page;
    title(q);
    lead(p, a);
    schedule(p, a);
    hoses(p, a);
    pressures(p, a);
    energies(p, a);
    if (q->model->network.solenoids > 0) {
        truth(p, q->model);
        currents(p, a);
    }
    page_add(p, BLOCK_HEADING, "Cautions");
    cautions(p, a);
    add_series(p, a);
}

baronet_status baronet_parts(const baronet_netlist *netlist, const baronet_question *question,
                             baronet_answer **answer, const char **what) {
    inquiry q;
    baronet_question asked = {.units = question->units}; /* it looks at all states and cases */
    baronet_status status = inquiry_open(&q, netlist, &asked, STATES_NAMED, INQUIRY_STANDING, what);
    page_set_study(q.page, "parts");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    states_free(&q.states); /* they are asked again, case by case */
    q.page->status = BARONET_OK;
    parts_answer a;
    status = parts_solve(&a, q.page->arena, q.charge, q.allocator);
    if (status == BARONET_OK) {
        show(&q, &a);
    }
    return inquiry_close(&q, status, answer);
}
