/* SPDX-License-Identifier: MIT */
#include "output/plan.h"

#include <stdlib.h>
#include <string.h>

#include "output/site.h"
#include "output/svg.h"

/* Units between two lines of words; from a part's middle to the edge of its place. */
#define LINE   12.0
#define REACH  70.0
#define ASCENT 9.0
#define DROP   3.0
/* Steps of a place that lie above its middle, with one between places. */
#define ABOVE 6

/* What kinds of parts look like, in steps: half their length along their line (from the middle to a
   port) and half of what they cover across it. */
static const struct {
    const char *words;
    int along, across;
} kinds[PART_KINDS] = {
    [PART_SPRING] = {"air spring", 3, 3},
    [PART_TANK] = {"tank", 2, 4},
    [PART_TEE] = {"tee, block or union", 0, 0},
    [PART_SUPPLY] = {"supply", 2, 2},
    [PART_ATMOSPHERE] = {"to the air around", 2, 1},
    [PART_HOSE] = {"hose", 3, 1},
    [PART_RESTRICTOR] = {"restrictor", 2, 1},
    [PART_SOLENOID] = {"solenoid valve", 1, 5},
    [PART_CHECK_VALVE] = {"check valve", 2, 1},
    [PART_REGULATOR] = {"regulator", 2, 5},
    [PART_RELIEF] = {"relief valve", 2, 5},
    [PART_COMPRESSOR] = {"compressor", 2, 2},
};

const char *plan_kind_words(const plan_part *q) {
    return q->inlet ? "from the air around" : kinds[q->kind].words;
}

/* What a plan is made with. */
typedef struct maker {
    page *page;
    const model *model;
    const plan_wish *wish;
    plan *plan;
    site site;
    int pitch;    /* of rows, steps */
    int *part_of; /* nodes; -1 for hoses' air and the atmosphere */
    int paths;
    place_path *path;
} maker;

static bool is_path(const plan_part *q) {
    return part_is_edge(q->kind);
}

static bool is_open(const maker *k, const edge *e) {
    return e->kind != EDGE_SOLENOID ||
           (k->wish->open != NULL ? k->wish->open[e->solenoid] : e->normally_open);
}

static int add_part(maker *k, part_kind kind, int node_index, int edge_index) {
    plan_part *q = &k->plan->part[k->plan->parts];
    *q = (plan_part){.kind = kind, .node = node_index, .edge = edge_index, .net = node_index};
    if (kind == PART_ATMOSPHERE) {
        q->net = k->plan->nets++; /* each its own */
    }
    return k->plan->parts++;
}

/* The part at an end of a path; the atmosphere is wherever it is needed. */
static int end_part(maker *k, int node_index) {
    return k->model->network.node[node_index].kind == NODE_ATMOSPHERE
               ? add_part(k, PART_ATMOSPHERE, node_index, -1)
               : k->part_of[node_index];
}

/* Whether a path takes air in from where it begins, and never gives any back. */
static bool takes_in(const edge *e) {
    return e->kind == EDGE_COMPRESSOR || e->kind == EDGE_CHECK_VALVE || e->kind == EDGE_REGULATOR;
}

static bool list_parts(maker *k) {
    const network *net = &k->model->network;
    const int most = net->nodes + 3 * net->edges;
    k->plan->part = page_take(k->page, (size_t)most, sizeof *k->plan->part);
    k->part_of = page_take(k->page, (size_t)net->nodes, sizeof *k->part_of);
    k->path = page_take(k->page, (size_t)net->edges, sizeof *k->path);
    k->plan->nets = net->nodes;
    if (k->page->failed) {
        return false;
    }
    for (int i = 0; i < net->nodes; i++) {
        const node_kind kind = net->node[i].kind;
        const bool shown = kind != NODE_HOSE && kind != NODE_ATMOSPHERE;
        k->part_of[i] = shown ? add_part(k, part_of_node(kind), i, -1) : -1;
    }
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        const int path = add_part(k, part_of_edge(e->kind), -1, i);
        const int from = end_part(k, e->from), to = end_part(k, e->to);
        k->plan->part[from].inlet = k->plan->part[from].kind == PART_ATMOSPHERE && takes_in(e);
        k->path[k->paths++] = (place_path){path, from, to};
    }
    return true;
}

static baronet_status place_parts(maker *k) {
    plan *pl = k->plan;
    arena *a = k->page->arena;
    baronet_status status = site_make(&k->site, a, k->model, pl->parts, k->pitch);
    int *slot = page_take(k->page, (size_t)pl->parts, sizeof *slot);
    bool *fixed = page_take(k->page, (size_t)pl->parts, sizeof *fixed);
    bool *two_sides = page_take(k->page, (size_t)pl->parts, sizeof *two_sides);
    if (status != BARONET_OK || k->page->failed) {
        return status != BARONET_OK ? status : BARONET_OUT_OF_MEMORY;
    }
    for (int i = 0; i < pl->parts; i++) {
        slot[i] = pl->part[i].kind == PART_SPRING
                      ? k->site.spring_slot[k->model->network.node[pl->part[i].node].item]
                      : -1;
        fixed[i] = slot[i] >= 0;
        two_sides[i] = pl->part[i].kind == PART_SPRING;
    }
    const place_task task = {.columns = k->site.columns,
                             .rows = k->site.rows,
                             .x = k->site.x,
                             .y = k->site.y,
                             .taken = k->site.taken,
                             .things = pl->parts,
                             .fixed = fixed,
                             .two_sides = two_sides,
                             .paths = k->paths,
                             .path = k->path};
    status = place_solve(&task, slot, a);
    for (int i = 0; i < pl->parts && status == BARONET_OK; i++) {
        plan_part *q = &pl->part[i];
        q->at = (spot){k->site.x[slot[i] % k->site.columns], k->site.y[slot[i] / k->site.columns]};
        q->words_left = fixed[i] && 2 * q->at.x > k->site.width;
    }
    return status;
}

/* How far a way leads towards something that lies so far off. */
static int towards(int way, int x, int y) {
    const spot step = route_step((spot){0, 0}, way);
    return step.x * x + step.y * y;
}

/* Turns an end to what it is an end of; a spring keeps its plates level unless that lies beside. */
static void turn_end(plan_part *end, spot path) {
    const int x = path.x - end->at.x, y = path.y - end->at.y;
    if (end->kind == PART_SPRING) {
        end->turn = abs(x) > 2 * abs(y) ? ROUTE_RIGHT : end->turn;
    } else if (end->kind == PART_SUPPLY || end->kind == PART_ATMOSPHERE) {
        for (int way = 1; way < 4; way++) {
            end->turn = towards(way, x, y) > towards(end->turn, x, y) ? way : end->turn;
        }
    }
}

/* Turns paths so that their ports look to what they join, ends to what they are an end of. */
static void turn_parts(maker *k) {
    for (int i = 0; i < k->paths; i++) {
        plan_part *path = &k->plan->part[k->path[i].thing];
        plan_part *from = &k->plan->part[k->path[i].from], *to = &k->plan->part[k->path[i].to];
        int corners = 0;
        path->turn = place_turn(path->at, (place_end){from->at, from->kind == PART_SPRING},
                                (place_end){to->at, to->kind == PART_SPRING}, &corners);
        turn_end(from, path->at);
        turn_end(to, path->at);
    }
}

/* What a symbol covers. */
static void box_parts(maker *k) {
    for (int i = 0; i < k->plan->parts; i++) {
        plan_part *q = &k->plan->part[i];
        const bool across_page = q->turn % 2 == 1;
        const int along = kinds[q->kind].along, across = kinds[q->kind].across;
        const int x = across_page ? along : across, y = across_page ? across : along;
        q->body = q->kind == PART_TEE ? (plan_box){1, 1, 0, 0} : (plan_box){-x, -y, x, y};
    }
}

/* Bytes up to and with the last hyphen that still fits, or of the whole where all of it does. */
static size_t piece(const char *name, double width) {
    size_t best = 0;
    for (size_t k = 1; name[k - 1] != '\0'; k++) {
        const bool end = name[k] == '\0' || name[k - 1] == '-' || name[k - 1] == '_';
        if (end && svg_width((text){name, k}, PLAN_TEXT) <= width) {
            best = k;
        }
    }
    return best;
}

/* Breaks a name into as many lines as there are for it. */
static void add_name(maker *k, plan_part *q, const char *name, double width, int lines) {
    while (*name != '\0') { /* the last line takes the rest, or as much as fits */
        size_t length = piece(name, width);
        const bool last = q->lines + 1 == lines && name[length] != '\0';
        if (length == 0 || last) {
            length = svg_fitting(text_of(name), PLAN_TEXT, width - PLAN_TEXT);
            q->words[q->lines++] = page_format(k->page, "%.*s\xE2\x80\xA6", (int)length, name);
            return;
        }
        q->words[q->lines++] = page_format(k->page, "%.*s", (int)length, name);
        name += length;
    }
}

static void add_value(plan_part *q, const char *value, double width) {
    if (value != NULL && svg_width(text_of(value), PLAN_TEXT) <= width) {
        q->words[q->lines++] = value;
    }
}

static const char *law_words(page *p, const law *l) {
    switch (l->kind) {
    case LAW_BORE:
    case LAW_HOSE:
        return page_quantity(p, BARONET_LENGTH, l->bore);
    case LAW_SONIC:
        return page_quantity(p, BARONET_SONIC_CONDUCTANCE, l->conductance);
    case LAW_KV:
        return page_format(p, "kv %s", page_number(p, BARONET_NUMBER, l->kv, -1));
    case LAW_NONE:
        break;
    }
    return NULL;
}

/* The size of a part, where sizes are asked for. */
static const char *size_words(const maker *k, const plan_part *q) {
    page *p = k->page;
    if (!k->wish->bores) {
        return NULL;
    }
    if (q->kind == PART_TANK) {
        return page_quantity(p, BARONET_VOLUME, k->model->network.node[q->node].volume);
    }
    return q->edge >= 0 ? law_words(p, &k->model->network.edge[q->edge].path) : NULL;
}

/* The pressure of springs, tanks and supplies where pressures are asked for; what valves are set
   to. */
static const char *pressure_words(const maker *k, const plan_part *q) {
    const double around = k->model->ambient.pressure;
    if (k->wish->pressure != NULL && q->node >= 0 && q->kind != PART_TEE) {
        return page_quantity(k->page, BARONET_PRESSURE, k->wish->pressure[q->node] - around);
    }
    const edge *e = q->edge >= 0 ? &k->model->network.edge[q->edge] : NULL;
    if (e == NULL || !k->wish->bores || (e->kind != EDGE_REGULATOR && e->kind != EDGE_RELIEF)) {
        return NULL;
    }
    return page_quantity(k->page, BARONET_PRESSURE,
                         e->kind == EDGE_REGULATOR ? e->set - around : e->set);
}

/* Where words may begin beside a part: units from its middle, the first line's base. */
static spot words_place(const plan_part *q) {
    const int along = (int)PLAN_STEP * kinds[q->kind].along;
    const int across = (int)PLAN_STEP * kinds[q->kind].across;
    if (q->kind == PART_TEE) {
        return (spot){9, 19};
    }
    if (q->kind == PART_SPRING && q->turn % 2 == 1) {
        return (spot){-across, across + 12};
    }
    if (q->turn % 2 == 0) {
        return (spot){9, along + 12}; /* beside the line that leaves it below */
    }
    return kinds[q->kind].across > 2 ? (spot){along > 8 ? along + 1 : 13, 19}
                                     : (spot){-along, across + 12};
}

static int floor_step(double units) {
    return (int)(units / PLAN_STEP + 1000.0) - 1000;
}

/* Names, sizes and pressures beside the parts, and the boxes that they take. */
static void word_parts(maker *k) {
    const network *net = &k->model->network;
    for (int i = 0; i < k->plan->parts && !k->page->failed; i++) {
        plan_part *q = &k->plan->part[i];
        q->words_box = (plan_box){1, 1, 0, 0};
        if (q->kind == PART_ATMOSPHERE) {
            continue;
        }
        const spot start = words_place(q);
        const double room = REACH - start.x;
        const char *name = q->edge >= 0 ? net->edge[q->edge].name : net->node[q->node].name;
        const char *values[] = {size_words(k, q), pressure_words(k, q)};
        const int most = (int)((PLAN_STEP * (k->pitch - ABOVE) - DROP - start.y) / LINE) + 1;
        const int wanted = (values[0] != NULL) + (values[1] != NULL);
        const int lines = most < PLAN_WORDS ? most : PLAN_WORDS;
        add_name(k, q, name, room, lines - wanted > 1 ? lines - wanted : 1);
        add_value(q, values[0], room);
        add_value(q, values[1], room);
        q->words_x = start.x;
        q->words_y = start.y;
        double width = 0.0;
        for (int n = 0; n < q->lines; n++) {
            const double own = svg_width(text_of(q->words[n]), PLAN_TEXT);
            width = own > width ? own : width;
        }
        const double left = q->words_left ? -start.x - width : start.x;
        q->words_box =
            (plan_box){floor_step(left), floor_step(start.y - ASCENT), floor_step(left + width) + 1,
                       floor_step(start.y + DROP + LINE * (q->lines - 1)) + 1};
    }
}

static void block_off(bool *blocked, const plan *pl, spot at, plan_box b) {
    for (int y = at.y + b.top; y <= at.y + b.bottom; y++) {
        for (int x = at.x + b.left; x <= at.x + b.right; x++) {
            if (x >= 0 && y >= 0 && x < pl->width && y < pl->height) {
                blocked[y * pl->width + x] = true;
            }
        }
    }
}

static void add_port(route_port *port, int *count, const plan_part *q, spot away, int way, int net,
                     bool own) {
    port[(*count)++] = (route_port){{q->at.x + away.x, q->at.y + away.y}, way, net, own};
}

static void add_ports(const maker *k, route_port *port, int *count, const plan_part *q) {
    static const spot tank[] = {{-4, 0}, {4, 0}, {0, -2}, {0, 2}, {-2, -2}, {2, -2}};
    static const int tank_ways[] = {ROUTE_LEFT, ROUTE_RIGHT, ROUTE_UP,
                                    ROUTE_DOWN, ROUTE_UP,    ROUTE_UP};
    const int along = kinds[q->kind].along;
    const spot one = route_step((spot){0, 0}, q->turn);
    const spot near = {one.x * along, one.y * along}, far = {-near.x, -near.y};
    if (q->kind == PART_TEE) {
        add_port(port, count, q, (spot){0, 0}, ROUTE_ANY, q->net, true);
    } else if (q->kind == PART_SPRING) {
        add_port(port, count, q, near, q->turn, q->net, true);
        add_port(port, count, q, far, (q->turn + 2) % 4, q->net, true);
    } else if (q->kind == PART_TANK) {
        for (int n = 0; n < 6; n++) {
            add_port(port, count, q, tank[n], tank_ways[n], q->net, true);
        }
    } else if (!is_path(q)) {
        add_port(port, count, q, near, q->turn, q->net, true);
    } else {
        const int path = (int)(q - k->plan->part);
        for (int i = 0; i < k->paths; i++) {
            if (k->path[i].thing == path) {
                const plan_part *from = &k->plan->part[k->path[i].from];
                const plan_part *to = &k->plan->part[k->path[i].to];
                add_port(port, count, q, near, q->turn, from->net, false);
                add_port(port, count, q, far, (q->turn + 2) % 4, to->net, false);
            }
        }
    }
}

static baronet_status route_parts(maker *k) {
    plan *pl = k->plan;
    bool *blocked = page_take(k->page, (size_t)pl->width * (size_t)pl->height, sizeof *blocked);
    route_port *port = page_take(k->page, (size_t)pl->parts * PLAN_PORTS, sizeof *port);
    int ports = 0;
    for (int i = 0; i < pl->parts && !k->page->failed; i++) {
        block_off(blocked, pl, pl->part[i].at, pl->part[i].body);
        block_off(blocked, pl, pl->part[i].at, pl->part[i].words_box);
        add_ports(k, port, &ports, &pl->part[i]);
    }
    for (int w = 0; w < pl->wheels && !k->page->failed; w++) {
        block_off(blocked, pl, pl->wheel[w].at,
                  (plan_box){-SITE_WHEEL_X, -SITE_WHEEL_Y, SITE_WHEEL_X, SITE_WHEEL_Y});
    }
    return k->page->failed ? BARONET_OUT_OF_MEMORY
                           : route_solve(&pl->routes, k->page->arena, pl->width, pl->height,
                                         blocked, ports, port);
}

/* Cuts off what is empty at the top and the bottom. */
static void crop(plan *pl) {
    enum { EDGE = 3 };
    int top = pl->height, bottom = 0;
    for (int i = 0; i < pl->parts; i++) {
        const plan_part *q = &pl->part[i];
        const int high = q->at.y + q->body.top;
        const int low =
            q->at.y + (q->words_box.bottom > q->body.bottom ? q->words_box.bottom : q->body.bottom);
        top = high < top ? high : top;
        bottom = low > bottom ? low : bottom;
    }
    for (int w = 0; w < pl->wheels; w++) {
        const int high = pl->wheel[w].at.y - PLAN_BODY, low = pl->wheel[w].at.y + PLAN_BODY;
        top = high < top ? high : top;
        bottom = low > bottom ? low : bottom;
    }
    for (int k = 0; k < pl->routes.lines; k++) {
        for (int i = 0; i < pl->routes.line[k].points; i++) {
            const int y = pl->routes.line[k].point[i].y;
            top = y < top ? y : top;
            bottom = y > bottom ? y : bottom;
        }
    }
    pl->shift = top - EDGE;
    pl->height = bottom - top + 2 * EDGE + 1;
}

/* Which lines hold air that a spring works on, and with which other springs. */
static baronet_status shade_nets(maker *k) {
    const network *net = &k->model->network;
    groups g;
    int *shade = page_take(k->page, (size_t)k->plan->nets, sizeof *shade);
    if (shade == NULL || groups_make(&g, k->page->arena, net) != BARONET_OK) {
        return BARONET_OUT_OF_MEMORY;
    }
    groups_find(&g, net, k->wish->open, false, k->model->ambient.pressure);
    int *number = page_take(k->page, (size_t)g.count, sizeof *number);
    int used = 0;
    for (int i = 0; i < net->nodes && number != NULL; i++) {
        const int group = g.of_node[i];
        if (g.springs[group] > 0 && number[group] == 0) {
            number[group] = ++used;
        }
        shade[i] = number[group];
    }
    k->plan->shade = shade;
    return number != NULL ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

static bool list_wheels(maker *k) {
    plan *pl = k->plan;
    const vehicle *v = &k->model->vehicle;
    pl->wheel = page_take(k->page, (size_t)v->wheels, sizeof *pl->wheel);
    for (int w = 0; w < v->wheels && pl->wheel != NULL; w++) {
        pl->wheel[pl->wheels++] = (plan_wheel){k->site.wheel[w], v->corner[w].name};
    }
    return pl->wheel != NULL;
}

/* Lays out all that does not depend on the positions of the valves. */
static baronet_status lay_out(maker *k) {
    if (!list_parts(k)) {
        return BARONET_OUT_OF_MEMORY;
    }
    if (k->plan->parts > PLAN_PARTS_MOST) {
        return BARONET_TOO_MANY;
    }
    baronet_status status = place_parts(k);
    if (status != BARONET_OK || !list_wheels(k)) {
        return status != BARONET_OK ? status : BARONET_OUT_OF_MEMORY;
    }
    k->plan->width = k->site.width;
    k->plan->height = k->site.height;
    turn_parts(k);
    box_parts(k);
    word_parts(k);
    status = route_parts(k);
    crop(k->plan);
    return status;
}

/* Takes over what was laid out for another state. */
static baronet_status take_over(maker *k, const plan *laid) {
    *k->plan = *laid;
    k->plan->shade = NULL;
    k->plan->part = page_take(k->page, (size_t)laid->parts, sizeof *laid->part);
    if (k->plan->part == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    memcpy(k->plan->part, laid->part, (size_t)laid->parts * sizeof *laid->part);
    return BARONET_OK;
}

/* Sets the valves. */
static void set_valves(maker *k) {
    for (int i = 0; i < k->plan->parts; i++) {
        plan_part *q = &k->plan->part[i];
        if (q->edge >= 0) {
            const edge *e = &k->model->network.edge[q->edge];
            q->open = is_open(k, e);
            q->joined = e->kind != EDGE_SOLENOID || q->open;
        }
    }
}

baronet_status page_plan(page *p, const model *m, const plan_wish *wish) {
    maker k = {.page = p, .model = m, .wish = wish, .plan = page_take(p, 1, sizeof *k.plan)};
    if (k.plan == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    *k.plan = (plan){.model = m};
    k.pitch = wish->bores || wish->pressure != NULL ? SITE_ROW_TALL : SITE_ROW;
    baronet_status status = wish->laid != NULL ? take_over(&k, wish->laid) : lay_out(&k);
    if (status != BARONET_OK) {
        return status;
    }
    k.plan->state = wish->state != NULL ? page_copy(p, wish->state) : NULL;
    set_valves(&k);
    if (wish->open != NULL) {
        status = shade_nets(&k);
    }
    page_add_plan(p, k.plan);
    return status == BARONET_OK && p->failed ? BARONET_OUT_OF_MEMORY : status;
}
