/* SPDX-License-Identifier: MIT */
#include "netlist/patch.h"

#include <stddef.h>
#include <string.h>

#include "model/atmosphere.h"
#include "model/gas.h"
#include "netlist/build.h"

/* How a value becomes a number of the model. */
typedef enum aim_kind {
    AIM_PLAIN,
    AIM_TIMES,    /* times a factor */
    AIM_GAUGE,    /* a pressure against ambient */
    AIM_ABSOLUTE, /* an absolute pressure */
    AIM_ALTITUDE, /* ambient pressure, and temperature unless given */
    AIM_SCALE     /* a curve's ordinates times the value */
} aim_kind;

/* A curve of the netlist, and its copy that is scaled. */
typedef struct scaling {
    int points;
    const double *y, *slope; /* of the netlist; slope NULL for none */
    double *to_y, *to_slope;
} scaling;

typedef struct aim {
    int dial;     /* -1: a fixed value, which follows the ambient pressure alone */
    double value; /* of a fixed one */
    aim_kind kind;
    double factor;
    bool absolute; /* a pressure was said as an absolute one */
    double *to;
    scaling scale;
} aim;

struct patch {
    const baronet_netlist *netlist;
    arena *arena;
    int dials;
    const dial *dial;
    model model;
    node *node;
    edge *edge;
    corner *corner;
    bar *bar;
    spring *spring;
    lever **lever; /* springs */
    profile *profile;
    aim *aim;
    size_t aims, room;
    bool temperature_given; /* beside an altitude */
    bool ambient;           /* a dial moves the air outside */
    bool unfit;             /* some dial moves what cannot be set */
    bool failed;
};

static void *copy(patch *p, const void *from, size_t count, size_t size) {
    void *const to = p->failed ? NULL : arena_take(p->arena, count, size);
    p->failed |= !to;
    if (to && count > 0)
        memcpy(to, from, count * size);
    return to;
}

/* All that a dial may reach, as the patch's own. */
static void copy_model(patch *p, const model *from) {
    const vehicle *const v = &from->vehicle;
    const network *const net = &from->network;
    p->model = *from;
    p->model.network.node = p->node = copy(p, net->node, (size_t)net->nodes, sizeof *p->node);
    p->model.network.edge = p->edge = copy(p, net->edge, (size_t)net->edges, sizeof *p->edge);
    p->model.vehicle.corner = p->corner = copy(p, v->corner, (size_t)v->corners, sizeof *p->corner);
    p->model.vehicle.bar = p->bar = copy(p, v->bar, (size_t)v->bars, sizeof *p->bar);
    p->model.vehicle.spring = p->spring = copy(p, v->spring, (size_t)v->springs, sizeof *p->spring);
    p->model.vehicle.profile = p->profile =
        copy(p, v->profile, (size_t)v->profiles, sizeof *p->profile);
    p->lever = arena_take(p->arena, (size_t)v->springs, sizeof *p->lever);
    p->failed |= !p->lever;
    for (int i = 0; i < v->springs && !p->failed; i++) {
        const spring *const s = &v->spring[i];
        p->spring[i].lever = p->lever[i] =
            copy(p, s->lever, (size_t)s->levers, sizeof *p->lever[i]);
    }
}

static void add_aim(patch *p, aim a) {
    if (p->failed)
        return;
    if (p->aims == p->room) {
        aim *const more =
            memory_grow(arena_allocator(p->arena), p->aim, p->aims, &p->room, sizeof *more);
        p->failed |= !more;
        if (!more)
            return;
        p->aim = more;
    }
    p->aim[p->aims++] = a;
}

/* One place in a statement where a value stands. */
typedef struct use {
    int dial; /* -1 for a fixed one */
    keyword keyword;
    word word;
    const entry *entry; /* NULL: the ambient air, which the netlist does not speak of */
    int position, names;
    const attribute *attribute; /* NULL likewise */
    const value *value;
    slot slot;
} use;

/* Where plain numbers of a statement go in what it makes. */
static const struct row {
    keyword keyword;
    word word;
    int position;
    aim_kind kind;
    size_t offset;
} rows[] = {
    {KEYWORD_AMBIENT, WORD_PRESSURE, 0, AIM_PLAIN, offsetof(model, ambient.pressure)},
    {KEYWORD_AMBIENT, WORD_TEMPERATURE, 0, AIM_PLAIN, offsetof(model, ambient.temperature)},
    {KEYWORD_AMBIENT, WORD_ALTITUDE, 0, AIM_ALTITUDE, 0},
    {KEYWORD_GAS, WORD_EXPONENT, 0, AIM_PLAIN, offsetof(model, gas.exponent)},
    {KEYWORD_GAS, WORD_THERMAL, 0, AIM_PLAIN, offsetof(model, gas.tau)},
#define BODY(w, place, field)                                                                      \
    { KEYWORD_VEHICLE, w, place, AIM_PLAIN, offsetof(model, vehicle.body.field) }
    BODY(WORD_CG_HEIGHT, 0, cg_height),
    BODY(WORD_ROLL_AXIS, 0, roll_axis),
    BODY(WORD_ROLL_INERTIA, 0, roll_inertia),
    BODY(WORD_PITCH_INERTIA, 0, pitch_inertia),
    BODY(WORD_SEAT, 0, seat_x),
    BODY(WORD_SEAT, 1, seat_y),
    BODY(WORD_SPEED, 0, speed),
#undef BODY
#define CORNER(w, place, field)                                                                    \
    { KEYWORD_CORNER, w, place, AIM_PLAIN, offsetof(corner, field) }
    CORNER(WORD_LOAD, 0, load),
    CORNER(WORD_UNSPRUNG, 0, unsprung),
    CORNER(WORD_TYRE, 0, tyre),
    CORNER(WORD_DAMPER, 0, damper),
    CORNER(WORD_COIL, 0, coil),
    CORNER(WORD_CARRIES, 0, carries),
    CORNER(WORD_BUMP_STOP, 0, bump_at),
    CORNER(WORD_BUMP_STOP, 1, bump_rate),
    CORNER(WORD_REBOUND_STOP, 0, rebound_at),
    CORNER(WORD_REBOUND_STOP, 1, rebound_rate),
#undef CORNER
    {KEYWORD_BAR, WORD_ROLL, 0, AIM_PLAIN, offsetof(bar, roll)},
    {KEYWORD_SPRING, WORD_HEIGHT, 0, AIM_PLAIN, offsetof(spring, height)},
    {KEYWORD_SPRING, WORD_PRESSURE, 0, AIM_GAUGE, offsetof(spring, pressure)},
    {KEYWORD_SPRING, WORD_RUBBER, 0, AIM_PLAIN, offsetof(spring, rubber)},
    {KEYWORD_TANK, WORD_VOLUME, 0, AIM_PLAIN, offsetof(node, volume)},
    {KEYWORD_TANK, WORD_PRESSURE, 0, AIM_ABSOLUTE, offsetof(node, pressure)},
    {KEYWORD_TEE, WORD_VOLUME, 0, AIM_PLAIN, offsetof(node, volume)},
    {KEYWORD_SUPPLY, WORD_PRESSURE, 0, AIM_ABSOLUTE, offsetof(node, pressure)},
    {KEYWORD_HOSE, WORD_BORE, 0, AIM_PLAIN, offsetof(edge, path.bore)},
    {KEYWORD_HOSE, WORD_LENGTH, 0, AIM_PLAIN, offsetof(edge, path.length)},
    {KEYWORD_HOSE, WORD_ROUGHNESS, 0, AIM_PLAIN, offsetof(edge, path.roughness)},
    {KEYWORD_HOSE, WORD_FITTINGS, 0, AIM_PLAIN, offsetof(edge, path.fittings)},
    {KEYWORD_SOLENOID, WORD_OPENS_ABOVE, 0, AIM_PLAIN, offsetof(edge, opens_above)},
    {KEYWORD_CHECK_VALVE, WORD_OPENS_AT, 0, AIM_PLAIN, offsetof(edge, opens_at)},
    {KEYWORD_REGULATOR, WORD_SET, 0, AIM_ABSOLUTE, offsetof(edge, set)},
    {KEYWORD_RELIEF, WORD_SET, 0, AIM_GAUGE, offsetof(edge, set)},
};

/* What a statement makes in the copy; NULL where that is not patched. */
static void *made_by(patch *p, const use *u) {
    const entry *const e = u->entry;
    switch (u->keyword) {
    case KEYWORD_AMBIENT:
    case KEYWORD_GAS:
    case KEYWORD_VEHICLE:
        return &p->model;
    case KEYWORD_CORNER:
        return &p->corner[e->index];
    case KEYWORD_BAR:
        return &p->bar[e->index];
    case KEYWORD_SPRING:
        return &p->spring[e->index];
    case KEYWORD_TANK:
    case KEYWORD_TEE:
    case KEYWORD_SUPPLY:
        return &p->node[e->as.path.node];
    case KEYWORD_HOSE:
    case KEYWORD_RESTRICTOR:
    case KEYWORD_SOLENOID:
    case KEYWORD_CHECK_VALVE:
    case KEYWORD_REGULATOR:
    case KEYWORD_RELIEF:
        return &p->edge[e->as.path.edge];
    default:
        return NULL;
    }
}

/* The number of a law that a word gives, and the factor it is times. */
static double *law_number(law *l, word w, double *factor) {
    *factor = 1.0;
    switch (w) {
    case WORD_BORE:
        return &l->bore;
    case WORD_CD:
        return &l->discharge;
    case WORD_SONIC:
        return &l->conductance;
    case WORD_CRITICAL:
        return &l->critical;
    case WORD_KV:
        *factor = KV_PER_FLOW;
        return &l->kv;
    case WORD_CV:
        *factor = KV_PER_CV;
        return &l->kv;
    case WORD_XT:
        return &l->xt;
    default:
        return NULL;
    }
}

/* The word that a number of a bypass belongs to. */
static word bypass_word(const use *u) {
    const attribute *const a = u->attribute;
    if (a->value[0].kind == VALUE_NUMBER)
        return WORD_BORE;
    const grammar_law *const flow = grammar_law_at((size_t)a->value[0].number);
    return u->position == 1 ? flow->word : flow->detail;
}

static bool is_weighed_mass(const use *u) {
    return u->slot.kind == SLOT_WEIGHT && u->value->as.unit->dimension == BARONET_MASS;
}

static bool is_absolute(const use *u, const dial *d) {
    const baronet_unit *const unit = d ? d->unit : u->value->as.unit;
    return unit && unit->datum == BARONET_DATUM_ABSOLUTE;
}

/* A weight that was dialled by its own attribute is a force already; one through a `let` is the
   mass that the name stands for. */
static double weight_factor(const use *u, const dial *d) {
    return is_weighed_mass(u) && d->slot.kind != SLOT_WEIGHT ? STANDARD_GRAVITY : 1.0;
}

static bool aim_at_row(patch *p, const use *u, const aim *as) {
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct row *const row = &rows[i];
        if (row->keyword != u->keyword || row->word != u->word || row->position != u->position)
            continue;
        aim a = *as;
        a.kind = row->kind != AIM_PLAIN ? row->kind : as->factor != 1.0 ? AIM_TIMES : AIM_PLAIN;
        a.to = (double *)((char *)made_by(p, u) + row->offset);
        add_aim(p, a);
        return true;
    }
    return false;
}

static bool aim_at_law(patch *p, const use *u, const aim *as) {
    edge *const e = made_by(p, u);
    const bool bypass = u->word == WORD_BYPASS;
    aim a = *as;
    a.to = law_number(bypass ? &e->bypass : &e->path, bypass ? bypass_word(u) : u->word, &a.factor);
    a.kind = a.factor != 1.0 ? AIM_TIMES : AIM_PLAIN;
    if (a.to)
        add_aim(p, a);
    return a.to != NULL;
}

/* What a spring has beside plain numbers: its ratio, and on a bench its load. */
static bool aim_at_spring(patch *p, const use *u, const aim *as) {
    aim a = *as;
    if (u->word == WORD_ON) {
        a.to = &p->lever[u->entry->index][u->names - 1].ratio;
        add_aim(p, a);
        return true;
    }
    if (u->word != WORD_LOAD)
        return false;
    int c = p->model.vehicle.wheels; /* benches stand behind these */
    while (p->corner[c].name != u->entry->name->text)
        c++;
    a.to = &p->corner[c].load;
    a.kind = a.factor != 1.0 ? AIM_TIMES : AIM_PLAIN;
    add_aim(p, a);
    return true;
}

static void scale_curve(patch *p, const aim *as, curve *c) {
    const size_t n = (size_t)c->points;
    aim a = *as;
    a.kind = AIM_SCALE;
    a.scale = (scaling){.points = c->points, .y = c->y, .slope = c->slope};
    c->y = a.scale.to_y = copy(p, c->y, n, sizeof(double));
    c->slope = a.scale.to_slope = copy(p, c->slope, n, sizeof(double));
    add_aim(p, a);
}

static void scale_list(patch *p, const aim *as, const double **list, int count) {
    aim a = *as;
    a.kind = AIM_SCALE;
    a.scale = (scaling){.points = count, .y = *list};
    *list = a.scale.to_y = copy(p, *list, (size_t)count, sizeof(double));
    add_aim(p, a);
}

/* A whole column of a table: what is made of it is proportional to it. */
static bool aim_at_column(patch *p, const use *u, const aim *as) {
    profile *const out = &p->profile[u->entry->index];
    if (u->word == WORD_VOLUME) {
        scale_curve(p, as, &out->volume_curve);
        return true;
    }
    curve *const loads =
        out->tests > 0 ? copy(p, out->load, (size_t)out->tests, sizeof *loads) : NULL;
    for (int k = 0; loads && k < out->tests; k++)
        scale_curve(p, as, &loads[k]);
    out->load = loads ? loads : out->load;
    scale_curve(p, as, &out->area_curve);
    scale_list(p, as, &out->integral, out->rows);
    return true;
}

static bool aim_at_profile(patch *p, const use *u, const aim *as) {
    profile *const out = &p->profile[u->entry->index];
    if (p->dial[as->dial].scale) /* no pressure stands there, so that this is some dial */
        return aim_at_column(p, u, as);
    aim a = *as;
    a.to = u->word == WORD_AREA ? &out->area
           : u->position == 0   ? &out->anchor_volume
                                : &out->anchor_height;
    add_aim(p, a);
    return true;
}

/* Adds what one use of a dial sets. */
static void add_use(patch *p, const use *u) {
    const dial *const d = u->dial >= 0 ? &p->dial[u->dial] : NULL;
    aim a = {.dial = u->dial, .kind = AIM_PLAIN, .factor = weight_factor(u, d)};
    if (!d)
        a.value = u->value->number;
    a.absolute = u->slot.dimension == BARONET_PRESSURE && is_absolute(u, d);
    p->ambient |= d && u->keyword == KEYWORD_AMBIENT;
    const bool done = u->keyword == KEYWORD_PROFILE  ? aim_at_profile(p, u, &a)
                      : made_by(p, u) == NULL        ? false
                      : aim_at_row(p, u, &a)         ? true
                      : u->keyword == KEYWORD_SPRING ? aim_at_spring(p, u, &a)
                                                     : aim_at_law(p, u, &a);
    p->unfit |= !done; /* all fixed pressures have their place */
}

static use use_of(const statement *s, const attribute *a, int position, int index) {
    int named = 0;
    for (int i = 0; i < position; i++)
        named += a->value[i].kind == VALUE_NAME;
    return (use){.dial = index,
                 .keyword = (keyword)s->entry->keyword,
                 .word = a->row->word,
                 .entry = s->entry,
                 .position = position,
                 .names = named,
                 .attribute = a,
                 .value = &a->value[position],
                 .slot = attribute_slot(a, position)};
}

/* Names that stand for the value of a `let`: its own, and those of each `let` that says it. */
typedef struct aliases {
    text *name;
    size_t count;
} aliases;

static bool is_alias(const aliases *list, text t) {
    for (size_t i = 0; i < list->count; i++) {
        if (text_same(list->name[i], t))
            return true;
    }
    return false;
}

/* What is asked and what happens is no part of the model that is patched. */
static bool is_passive(keyword k) {
    return k == KEYWORD_REQUIRE || k == KEYWORD_EVENT || k == KEYWORD_LET || k == KEYWORD_ABOUT ||
           k == KEYWORD_INCLUDE;
}

/* Walks over every number of the netlist's statements. */
typedef struct walk {
    patch *p;
    reading *r;
    scratch scratch;
    const aliases *aliases; /* of a dial's `let`; NULL: all pressures, as fixed values */
    int dial;
} walk;

static void meet(walk *w, const statement *s, const attribute *a, int position) {
    const value *const v = &a->value[position];
    if (v->kind != VALUE_NUMBER)
        return;
    use u = use_of(s, a, position, w->dial);
    if (w->aliases) {
        if (is_alias(w->aliases, place_text(statement_value_place(s, v))))
            add_use(w->p, &u);
        return;
    }
    if (u.slot.dimension == BARONET_PRESSURE && u.slot.datum == DATUM_FREE && u.word != WORD_RATED)
        add_use(w->p, &u);
}

/* A compressor's table is in gauge pressure, from the lowest row up. */
static void aim_at_pump(patch *p, const statement *s) {
    const statement_table *const t = s->table;
    edge *const e = &p->edge[s->entry->as.path.edge];
    const size_t rows_of = (size_t)e->table_rows;
    double *const to = copy(p, e->table_pressure, rows_of, sizeof *to);
    const size_t column = t->column[0].row->dimension == BARONET_PRESSURE ? 0 : 1;
    const bool rising = t->cell[t->columns + column].number > t->cell[column].number;
    for (size_t i = 0; to && i < rows_of; i++) {
        const value *const v = &t->cell[(rising ? i : rows_of - 1 - i) * t->columns + column];
        add_aim(p, (aim){.dial = -1,
                         .value = v->number,
                         .kind = AIM_ABSOLUTE,
                         .absolute = v->as.unit->datum == BARONET_DATUM_ABSOLUTE,
                         .to = &to[i]});
    }
    e->table_pressure = to;
}

static void meet_table(walk *w, const statement *s) {
    const statement_table *const t = s->table;
    for (size_t i = 0; t && w->aliases && i < t->rows * t->columns; i++) {
        w->p->unfit |= is_alias(w->aliases, place_text(statement_value_place(s, &t->cell[i])));
    }
    if (t && !w->aliases && s->entry->keyword == KEYWORD_COMPRESSOR)
        aim_at_pump(w->p, s);
}

/* The attribute arrays of a statement must live as long as the aims made from them do not: an aim
   keeps numbers only. */
static void walk_statements(walk *w) {
    for (int k = 0; k < KEYWORDS && !w->r->failed; k++) {
        const entry *e = is_passive((keyword)k) ? NULL : w->r->netlist->list[k].first;
        for (; e && !w->r->failed; e = e->next) {
            statement s;
            statement_read(w->r, &w->scratch, e, &s);
            for (uint32_t i = 0; i < s.attributes && !w->r->failed; i++) {
                for (uint32_t j = 0; j < s.attribute[i].values; j++)
                    meet(w, &s, &s.attribute[i], (int)j);
            }
            if (!w->r->failed)
                meet_table(w, &s);
        }
    }
    scratch_free(w->r, &w->scratch);
    w->p->failed |= w->r->failed;
}

static void find_aliases(patch *p, reading *r, const entry *let, aliases *out) {
    const size_t most = (size_t)r->netlist->list[KEYWORD_LET].count;
    *out = (aliases){.name = arena_take(p->arena, most, sizeof(text))};
    p->failed |= !out->name;
    if (p->failed)
        return;
    out->name[out->count++] = (text){let->name->text, let->name->length};
    /* A `let` only says those above it. */
    for (const entry *e = let->next; e; e = e->next) {
        const value *const v = e->as.value;
        if (is_alias(out, (text){e->source->bytes + v->start, v->length}))
            out->name[out->count++] = (text){e->name->text, e->name->length};
    }
}

static void add_target(patch *p, reading *r, int index, const dial_target *t) {
    if (t->keyword == KEYWORD_LET) {
        aliases list;
        find_aliases(p, r, t->entry, &list);
        walk w = {.p = p, .r = r, .aliases = &list, .dial = index};
        if (!p->failed)
            walk_statements(&w);
        return;
    }
    if (!t->written) {
        const use u = {.dial = index,
                       .keyword = t->keyword,
                       .word = t->word,
                       .entry = t->entry,
                       .slot = t->address.slot};
        add_use(p, &u);
        return;
    }
    scratch x = {0};
    statement s;
    statement_read(r, &x, t->entry, &s);
    const attribute *const a = r->failed ? NULL : statement_find(&s, t->word);
    if (a) {
        const use u = use_of(&s, a, t->address.position, index);
        add_use(p, &u);
    }
    scratch_free(r, &x);
    p->failed |= r->failed;
}

/* Altitude alone sets the temperature too. */
static void find_temperature(patch *p, reading *r) {
    const entry *const e = r->netlist->list[KEYWORD_AMBIENT].first;
    scratch x = {0};
    statement s;
    p->temperature_given = true;
    if (!e)
        return;
    statement_read(r, &x, e, &s);
    if (!r->failed)
        p->temperature_given =
            statement_find(&s, WORD_TEMPERATURE) || !statement_find(&s, WORD_ALTITUDE);
    scratch_free(r, &x);
    p->failed |= r->failed;
}

static baronet_status make(patch *p) {
    reading r = {
        .netlist = (baronet_netlist *)p->netlist, .arena = p->arena, .patience = READING_PATIENCE};
    copy_model(p, &p->netlist->model);
    if (!p->failed)
        find_temperature(p, &r);
    for (int i = 0; i < p->dials && !p->failed; i++) {
        for (int k = 0; k < p->dial[i].targets && !p->failed; k++)
            add_target(p, &r, i, &p->dial[i].target[k]);
    }
    /* Pressures that stand still are told anew against another ambient one. */
    walk w = {.p = p, .r = &r, .dial = -1};
    if (p->ambient && !p->failed)
        walk_statements(&w);
    return p->failed ? BARONET_OUT_OF_MEMORY : p->unfit ? BARONET_TOO_MANY : BARONET_OK;
}

baronet_status patch_create(patch **out, const baronet_netlist *netlist, int dials,
                            const dial *dial_list, const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    patch *const p = ARENA_OWNER(patch, allocator, &a);
    if (!p)
        return BARONET_OUT_OF_MEMORY;
    *p = (patch){.netlist = netlist, .arena = a, .dials = dials, .dial = dial_list};
    const baronet_status status = make(p);
    if (status != BARONET_OK) {
        patch_destroy(p);
        return status;
    }
    *out = p;
    return BARONET_OK;
}

void patch_destroy(patch *p) {
    if (!p)
        return;
    memory_resize(arena_allocator(p->arena), p->aim, 0);
    arena_destroy(p->arena);
}

static void scale_by(const scaling *s, double factor) {
    for (int i = 0; i < s->points; i++) {
        s->to_y[i] = s->y[i] * factor;
        if (s->slope)
            s->to_slope[i] = s->slope[i] * factor;
    }
}

static void set_aim(patch *p, const aim *a, double x) {
    const double outside = p->model.ambient.pressure;
    switch (a->kind) {
    case AIM_PLAIN:
        *a->to = x;
        break;
    case AIM_TIMES:
        *a->to = x * a->factor;
        break;
    case AIM_GAUGE:
        *a->to = a->absolute ? x - outside : x;
        break;
    case AIM_ABSOLUTE:
        *a->to = a->absolute ? x : x + outside;
        break;
    case AIM_ALTITUDE: {
        double temperature = 0.0;
        atmosphere_at(x, &p->model.ambient.pressure, &temperature);
        if (!p->temperature_given)
            p->model.ambient.temperature = temperature;
        break;
    }
    case AIM_SCALE:
        scale_by(&a->scale, x);
        break;
    }
}

static bool is_pressure(const aim *a) {
    return a->kind == AIM_GAUGE || a->kind == AIM_ABSOLUTE;
}

/* What the builder makes of other numbers. */
static void derive(patch *p) {
    p->node[0].pressure = p->model.ambient.pressure;
    for (int i = 0; i < p->model.network.edges; i++) {
        const edge *const e = &p->edge[i];
        if (e->kind == EDGE_HOSE)
            p->node[e->air].volume = HOSE_AIR(e->path);
    }
    for (int i = 0; i < p->model.vehicle.profiles; i++) {
        profile *const out = &p->profile[i];
        if (out->rows == 0)
            out->lowest = profile_piston_end(out);
    }
}

void patch_set(patch *p, const double *values) {
    /* The fixed pressures first, since a dial may move one of them; all against the new ambient. */
    for (int pass = 0; pass < 3; pass++) {
        for (size_t i = 0; i < p->aims; i++) {
            const aim *const a = &p->aim[i];
            const int turn = !is_pressure(a) ? 0 : a->dial < 0 ? 1 : 2;
            if (turn == pass)
                set_aim(p, a, a->dial < 0 ? a->value : values[a->dial]);
        }
    }
    derive(p);
}

const model *patch_model(const patch *p) {
    return &p->model;
}
