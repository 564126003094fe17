/* build_network.c: nodes and the paths between them.
   SPDX-License-Identifier: MIT */
#include "netlist/build.h"

#define LAWS_HINT "one of: `bore 9 mm`, `sonic 0.8 L/s.bar critical 0.3`, `kv 1.1 m3/h`, `cv 1.3`"

/* A law from its first number, and from its second one: cd, b or xT, negative where not given. */
static law make_law(word w, double first, double second) {
    law l = {.discharge = LAW_DEFAULT_DISCHARGE, .xt = LAW_DEFAULT_XT, .assumed = second < 0.0};
    if (w == WORD_BORE) {
        l.kind = LAW_BORE;
        l.bore = first;
        l.discharge = second < 0.0 ? LAW_DEFAULT_DISCHARGE : second;
    } else if (w == WORD_SONIC) {
        l.kind = LAW_SONIC;
        l.conductance = first;
        l.critical = second;
    } else {
        l.kind = LAW_KV;
        l.kv = w == WORD_CV ? first * KV_PER_CV : first * KV_PER_FLOW;
        l.xt = second < 0.0 ? LAW_DEFAULT_XT : second;
    }
    return l;
}

/* Complains of `cd`, `critical` or `xt` without the law that it belongs to. */
static void check_details(build *b, const statement *s, const grammar_law *chosen) {
    static const word details[] = {WORD_CD, WORD_CRITICAL, WORD_XT};
    for (size_t i = 0; i < sizeof details / sizeof *details; i++) {
        const attribute *const a = statement_find(s, details[i]);
        if (a && details[i] != chosen->detail)
            complain(b->r, statement_attribute_place(s, a), NULL, "`%s` does not go with `%s`",
                     grammar_word(details[i]), grammar_word(chosen->word));
    }
    if (chosen->detail_required && !statement_find(s, chosen->detail) && !s->bad)
        complain(b->r, statement_attribute_place(s, statement_find(s, chosen->word)),
                 "such as `sonic 0.8 L/s.bar critical 0.3`", "`%s` needs `%s` beside it",
                 grammar_word(chosen->word), grammar_word(chosen->detail));
}

/* The one flow law of a path. */
static law build_law(build *b, const statement *s) {
    const grammar_law *chosen = NULL;
    for (size_t i = 0; i < GRAMMAR_LAWS; i++) {
        const grammar_law *const g = grammar_law_at(i);
        const attribute *const a = statement_find(s, g->word);
        if (a && chosen)
            complain(b->r, statement_attribute_place(s, a), "one flow law is enough",
                     "`%s` and `%s` both say how much air passes", grammar_word(chosen->word),
                     grammar_word(g->word));
        chosen = a && !chosen ? g : chosen;
    }
    if (chosen) {
        check_details(b, s, chosen);
        return make_law(chosen->word, statement_number(s, chosen->word, 0.0),
                        statement_number(s, chosen->detail, -1.0));
    }
    if (!s->bad)
        complain(b->r, entry_name_place(s->entry), LAWS_HINT,
                 "`%s` does not say how much air passes", statement_name(s));
    return (law){0};
}

/* What passes a shut solenoid: a bore alone, or a law's word, its number and its detail. */
static law build_bypass(const statement *s) {
    const attribute *const a = statement_find(s, WORD_BYPASS);
    if (!a)
        return (law){0};
    const value *const v = a->value;
    if (v->kind == VALUE_NUMBER)
        return make_law(WORD_BORE, v->number, -1.0);
    return make_law(grammar_law_at((size_t)v->number)->word, v[1].number,
                    a->values > 2 ? v[2].number : -1.0);
}

static law hose_law(const statement *s) {
    return (law){.kind = LAW_HOSE,
                 .bore = statement_number(s, WORD_BORE, 0.0),
                 .length = statement_number(s, WORD_LENGTH, 0.0),
                 .roughness = statement_number(s, WORD_ROUGHNESS, LAW_DEFAULT_ROUGHNESS),
                 .fittings = statement_number(s, WORD_FITTINGS, 0.0),
                 .assumed = !statement_find(s, WORD_ROUGHNESS)};
}

/* Both ends; a path that ends where it starts is complained of. */
static void build_ends(build *b, const statement *s, edge *to) {
    const value *const from = statement_value(s, WORD_FROM);
    const value *const into = statement_value(s, WORD_TO);
    to->from = build_node(b, s, from);
    to->to = build_node(b, s, into);
    if (to->from < 0 || to->to < 0 || s->bad)
        return;
    b->paths[to->from]++;
    b->paths[to->to]++;
    if (to->from == to->to)
        complain(b->r, statement_value_place(s, into ? into : from), NULL,
                 "`%s` joins `%s` to itself", statement_name(s),
                 into ? into->as.name->text : "atmosphere");
}

static void build_path(build *b, const statement *s, edge_kind kind) {
    edge *const e = &b->edge[s->entry->as.path.edge];
    *e = (edge){.name = statement_name(s),
                .kind = kind,
                .air = s->entry->as.path.node,
                .solenoid = kind == EDGE_SOLENOID ? s->entry->index : -1,
                .rated = build_gauge(b, s, WORD_RATED)};
    build_ends(b, s, e);
    if (kind == EDGE_HOSE)
        e->path = hose_law(s);
    else if (kind != EDGE_COMPRESSOR)
        e->path = build_law(b, s);
}

static void build_solenoid(build *b, const statement *s, edge *e) {
    const value *const normally = statement_value(s, WORD_NORMALLY);
    e->bypass = build_bypass(s);
    e->normally_open = normally && normally->number > 0.0; /* the second of its choices */
    e->one_way = statement_find(s, WORD_ONE_WAY) != NULL;
    e->opens_above = statement_number(s, WORD_OPENS_ABOVE, 0.0);
    e->volts = statement_number(s, WORD_VOLTS, 0.0);
    e->current = statement_number(s, WORD_CURRENT, 0.0);
    (void)b;
}

static void build_check_valve(build *b, const statement *s, edge *e) {
    e->opens_at = statement_number(s, WORD_OPENS_AT, 0.0);
    (void)b;
}

static void build_regulator(build *b, const statement *s, edge *e) {
    e->set = build_absolute(b, s, WORD_SET);
}

static void build_relief(build *b, const statement *s, edge *e) {
    e->set = build_gauge(b, s, WORD_SET);
}

/* The compressor's table, from its lowest pressure up. */
static void build_compressor(build *b, const statement *s, edge *e) {
    const statement_table *const t = s->table;
    if (!t || t->rows < 2) {
        if (!s->bad)
            complain(b->r, entry_name_place(s->entry),
                     "a line `pressure bar  flow L/min`, then two rows of numbers or more",
                     "`%s` has no table of its flow against pressure", e->name);
        return;
    }
    double *const pressure = READING_ARRAY(b->r, double, t->rows);
    double *const flow = READING_ARRAY(b->r, double, t->rows);
    if (!pressure || !flow)
        return;
    const size_t p = t->column[0].row->dimension == BARONET_PRESSURE ? 0 : 1;
    const bool rising = t->cell[t->columns + p].number > t->cell[p].number;
    for (size_t i = 0; i < t->rows; i++) {
        const value *const row = &t->cell[(rising ? i : t->rows - 1 - i) * t->columns];
        pressure[i] = pressure_absolute(b->m, &row[p]);
        flow[i] = row[1 - p].number;
        if (i > 0 && pressure[i] <= pressure[i - 1]) {
            complain(b->r, statement_value_place(s, &row[p]), NULL,
                     "pressures are to rise from row to row, or to fall");
            return;
        }
        if (i > 0 && flow[i] > flow[i - 1]) {
            complain(b->r, statement_value_place(s, &row[1 - p]),
                     "no pump delivers more against more pressure",
                     "the flow is to stay or fall as the pressure rises");
            return;
        }
    }
    if (pressure[0] <= 0.0)
        complain(b->r, statement_value_place(s, &t->cell[p]), NULL, "a pressure below a vacuum");
    e->table_rows = (int)t->rows;
    e->table_pressure = pressure;
    e->table_flow = flow;
}

/* The air inside. */
static void build_hose(build *b, const statement *s, edge *e) {
    b->node[e->air] = (node){.name = e->name,
                             .kind = NODE_HOSE,
                             .volume = HOSE_AIR(e->path),
                             .rated = e->rated,
                             .item = s->entry->as.path.edge};
}

static void build_paths(build *b) {
    static const struct {
        keyword keyword;
        edge_kind kind;
        void (*finish)(build *, const statement *, edge *);
    } kinds[] = {{KEYWORD_HOSE, EDGE_HOSE, build_hose},
                 {KEYWORD_RESTRICTOR, EDGE_RESTRICTOR, NULL},
                 {KEYWORD_SOLENOID, EDGE_SOLENOID, build_solenoid},
                 {KEYWORD_CHECK_VALVE, EDGE_CHECK_VALVE, build_check_valve},
                 {KEYWORD_REGULATOR, EDGE_REGULATOR, build_regulator},
                 {KEYWORD_RELIEF, EDGE_RELIEF, build_relief},
                 {KEYWORD_COMPRESSOR, EDGE_COMPRESSOR, build_compressor}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        for (const statement *s = build_first(b, kinds[i].keyword); s; s = build_next(b)) {
            build_path(b, s, kinds[i].kind);
            if (kinds[i].finish)
                kinds[i].finish(b, s, &b->edge[s->entry->as.path.edge]);
        }
    }
}

static void build_nodes(build *b) {
    static const struct {
        keyword keyword;
        node_kind kind;
    } kinds[] = {{KEYWORD_TANK, NODE_TANK}, {KEYWORD_TEE, NODE_TEE}, {KEYWORD_SUPPLY, NODE_SUPPLY}};
    b->node[0] = (node){.name = "atmosphere",
                        .kind = NODE_ATMOSPHERE,
                        .pressure = b->m->ambient.pressure,
                        .pressure_given = true,
                        .item = -1};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        for (const statement *s = build_first(b, kinds[i].keyword); s; s = build_next(b))
            b->node[s->entry->as.path.node] =
                (node){.name = statement_name(s),
                       .kind = kinds[i].kind,
                       .volume = statement_number(s, WORD_VOLUME, 0.0),
                       .pressure = build_absolute(b, s, WORD_PRESSURE),
                       .pressure_given = statement_find(s, WORD_PRESSURE),
                       .rated = build_gauge(b, s, WORD_RATED),
                       .item = -1};
    }
    const vehicle *const v = &b->m->vehicle;
    for (int i = 0; i < v->springs; i++)
        b->node[v->spring[i].node] = (node){
            .name = v->spring[i].name, .kind = NODE_SPRING, .rated = v->spring[i].rated, .item = i};
}

static void list_solenoids(build *b) {
    network *const net = &b->m->network;
    int *const solenoid = READING_ARRAY(b->r, int, b->list[KEYWORD_SOLENOID].count);
    net->solenoids = b->list[KEYWORD_SOLENOID].count;
    net->solenoid = solenoid;
    for (const entry *e = b->list[KEYWORD_SOLENOID].first; e && solenoid; e = e->next)
        solenoid[e->index] = e->as.path.edge;
}

void build_network(build *b) {
    network *const net = &b->m->network;
    net->nodes = b->r->netlist->nodes + 1;
    net->edges = b->r->netlist->edges;
    net->node = b->node = READING_ARRAY(b->r, node, net->nodes);
    net->edge = b->edge = READING_ARRAY(b->r, edge, net->edges);
    b->paths = READING_ARRAY(b->r, int, net->nodes);
    if (b->r->failed)
        return;
    build_nodes(b);
    build_paths(b);
    list_solenoids(b);
}

void build_cautions(build *b) {
    static const keyword kinds[] = {KEYWORD_TANK, KEYWORD_TEE, KEYWORD_SUPPLY};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds && b->r->errors == 0; i++) {
        for (const entry *e = b->list[kinds[i]].first; e; e = e->next) {
            if (b->paths[e->as.path.node] == 0)
                warn(b->r, entry_name_place(e), NULL, "nothing is joined to `%s`", e->name->text);
        }
    }
}
