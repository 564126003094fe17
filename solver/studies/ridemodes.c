/* SPDX-License-Identifier: MIT */
#include "studies/ridemodes.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"
#include "studies/paths.h"

/* Where the window is centred: between creep and wheel hop, and never an eigenvalue of a vehicle
   that stands. */
#define RIDEMODES_SHIFT 1.0 /* 1/s */
/* An eigenvalue whose imaginary part is a smaller part of it than this does not swing. */
#define RIDEMODES_REAL 1e-9
/* Hoses are cut up for this frequency. */
#define RIDEMODES_SHORTEST 50.0 /* Hz */
/* Shares of movement from which words change: a second motion of this part of the energy is named;
   an axle that moves less than this part of another is at rest; a wheel that holds this part of
   what the strongest holds is in it too. */
#define RIDEMODES_SOME   0.1
#define RIDEMODES_RESTS  0.4
#define RIDEMODES_SHARED 0.3

typedef struct finder {
    const model *model;
    coupled *system;
    rates *rates;
    const coordinate *coordinate;
    int coordinates;
    double *wheel;     /* J, wheels */
    double *link_loss; /* W, links */
    double *wall_loss; /* W, unknowns of the network */
    double *edge_loss; /* edges, scratch */
} finder;

static double complex part(const double *x, int i) {
    return x[2 * i] + J * x[2 * i + 1];
}

static int strongest(const double *values, int count) {
    int best = 0;
    for (int i = 1; i < count; i++) {
        best = values[i] > values[best] ? i : best;
    }
    return best;
}

/* Energy of each motion of the body, and its coordinate, 0 where it has none. */
static void body_energies(const finder *f, const double *x, double energy[BODY_MOTIONS],
                          double complex moved[BODY_MOTIONS]) {
    for (int k = 0; k < BODY_MOTIONS; k++) {
        energy[k] = 0.0;
        moved[k] = 0.0;
    }
    for (int k = 0; k < f->coordinates; k++) {
        const coordinate *c = &f->coordinate[k];
        if (c->kind == COORDINATE_BODY) {
            moved[c->item] = part(x, k);
            energy[c->item] = c->mass * abs_square(moved[c->item]);
        }
    }
}

static const shape_kind body_shape[BODY_MOTIONS] = {
    [MOTION_HEAVE] = SHAPE_HEAVE, [MOTION_ROLL] = SHAPE_ROLL, [MOTION_PITCH] = SHAPE_PITCH};

/* The axle over which the body moves most, where it nearly rests over every other one; else -1. */
static int lone_axle(const finder *f, const double complex moved[BODY_MOTIONS]) {
    const vehicle *v = &f->model->vehicle;
    const double centre = rates_task(f->rates)->mass.x;
    int best = -1;
    double most = 0.0, second = 0.0;
    for (int k = 0; k < v->axles; k++) {
        const double rise =
            cabs(moved[MOTION_HEAVE] - (v->axle[k].x - centre) * moved[MOTION_PITCH]);
        if (rise > most) {
            second = most;
            most = rise;
            best = k;
        } else {
            second = fmax(second, rise);
        }
    }
    return v->axles > 1 && second < RIDEMODES_RESTS * most ? best : -1;
}

static void shape_body(const finder *f, const double *x, ride_mode *out) {
    double energy[BODY_MOTIONS];
    double complex moved[BODY_MOTIONS];
    body_energies(f, x, energy, moved);
    const double whole = energy[MOTION_HEAVE] + energy[MOTION_ROLL] + energy[MOTION_PITCH];
    int first = strongest(energy, BODY_MOTIONS), second = -1;
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (k != first && energy[k] > RIDEMODES_SOME * whole &&
            (second < 0 || energy[k] > energy[second])) {
            second = k;
        }
    }
    out->shape = body_shape[first];
    out->with = second >= 0 ? body_shape[second] : out->shape;
    const int axle_index = first != MOTION_ROLL ? lone_axle(f, moved) : -1;
    if (axle_index >= 0) {
        /* Heave and pitch both belong to it; what is worth saying is the one that it has less of.
         */
        out->shape = SHAPE_AXLE;
        out->item = axle_index;
        if (second < 0) {
            out->with = SHAPE_AXLE;
        }
    }
}

/* One wheel, or all of its axle together or against one another. */
static void shape_wheels(const finder *f, const double *x, ride_mode *out) {
    const vehicle *v = &f->model->vehicle;
    const int first = strongest(f->wheel, v->wheels);
    double complex lead = 0.0, other = 0.0;
    bool shared = false;
    for (int k = 0; k < f->coordinates; k++) {
        const coordinate *c = &f->coordinate[k];
        if (c->kind != COORDINATE_WHEEL) {
            continue;
        }
        if (c->item == first) {
            lead = part(x, k);
        } else if (v->corner[c->item].axle == v->corner[first].axle &&
                   f->wheel[c->item] > RIDEMODES_SHARED * f->wheel[first]) {
            other = part(x, k);
            shared = true;
        }
    }
    out->shape = !shared                           ? SHAPE_WHEEL
                 : creal(lead * conj(other)) > 0.0 ? SHAPE_TOGETHER
                                                   : SHAPE_TRAMP;
    out->item = shared ? v->corner[first].axle : first;
    out->with = out->shape;
}

static void shape_bench(const finder *f, const double *x, ride_mode *out) {
    double most = 0.0;
    out->shape = out->with = SHAPE_BENCH;
    for (int k = 0; k < f->coordinates; k++) {
        const coordinate *c = &f->coordinate[k];
        const double energy = c->mass * abs_square(part(x, k));
        if (c->kind == COORDINATE_BENCH && energy > most) {
            most = energy;
            out->item = c->item;
        }
    }
}

/* The edge whose links hold or lose the most of what `of` says. */
static int strongest_edge(const finder *f, const double *of_link) {
    const int edges = f->model->network.edges;
    memset(f->edge_loss, 0, (size_t)edges * sizeof *f->edge_loss);
    for (int i = 0; i < coupled_links(f->system); i++) {
        f->edge_loss[coupled_edge_of(f->system, i)] += of_link[i];
    }
    return strongest(f->edge_loss, edges);
}

/* The flow that swings the most air. */
static void shape_column(const finder *f, const double *x, ride_mode *out) {
    const airnet_link *link = NULL;
    const int links = airnet_links(coupled_airnet(f->system), &link);
    for (int i = 0; i < links; i++) {
        double flow[2];
        coupled_flow(f->system, i, x, flow);
        f->link_loss[i] = (flow[0] * flow[0] + flow[1] * flow[1]) * link[i].inertance;
    }
    out->shape = out->with = SHAPE_COLUMN;
    out->item = strongest_edge(f, f->link_loss);
}

/* From the node that loses the most air to the one that gains the most. What a held node gains is
   what all others lose. */
static void shape_exchange(const finder *f, const double *x, ride_mode *out) {
    const network *net = &f->model->network;
    double least = 0.0, most = 0.0;
    out->shape = out->with = SHAPE_EXCHANGE;
    out->item = out->other = 0;
    for (int i = 0; i < net->nodes; i++) {
        double gain[2];
        coupled_gain(f->system, i, x, gain);
        if (gain[0] < least) {
            least = gain[0];
            out->item = i;
        }
        if (gain[0] > most) {
            most = gain[0];
            out->other = i;
        }
    }
}

/* What does not swing is named by where it loses its energy. */
static void shape_slow(const finder *f, const coupled_budget *b, const double *x, ride_mode *out) {
    if (b->flow >= b->wall && b->flow >= b->damper) {
        shape_exchange(f, x, out);
    } else if (b->wall >= b->damper) {
        out->shape = out->with = SHAPE_WALL;
        out->item = coupled_node_of(f->system, strongest(f->wall_loss, coupled_air(f->system)));
    } else {
        const vehicle *v = &f->model->vehicle;
        double most = -1.0;
        out->shape = out->with = SHAPE_CREEP;
        for (int c = 0; c < v->corners; c++) {
            double travel[2];
            coupled_travel(f->system, c, x, travel);
            const double lost =
                v->corner[c].damper * (travel[0] * travel[0] + travel[1] * travel[1]);
            out->item = lost > most ? c : out->item;
            most = fmax(most, lost);
        }
    }
}

static void name_shape(const finder *f, const coupled_budget *b, const double *x, ride_mode *out) {
    out->item = out->other = -1;
    const double energy[] = {b->body, b->wheel, b->bench, b->air};
    static void (*const shapes[])(const finder *, const double *, ride_mode *) = {
        shape_body, shape_wheels, shape_bench, shape_column};
    if (out->frequency > 0.0) {
        shapes[strongest(energy, 4)](f, x, out);
    } else {
        shape_slow(f, b, x, out);
    }
}

static void describe(const finder *f, const spectrum_answer *s, int k, ride_mode *out) {
    const double *value = s->value + 2 * k;
    const double *x = s->vector + 2 * (size_t)coupled_size(f->system) * (size_t)k;
    const double size = hypot(value[0], value[1]);
    const bool swings = value[1] > RIDEMODES_REAL * size;
    *out = (ride_mode){.value = {value[0], swings ? value[1] : 0.0},
                       .frequency = swings ? value[1] / TWO_PI : 0.0,
                       .natural = size / TWO_PI,
                       .damping = -value[0] / size,
                       .residual = s->residual[k]};
    const coupled_budget b =
        coupled_account(f->system, value, x, f->wheel, f->link_loss, f->wall_loss);
    const double lost = b.damper + b.flow + b.wall;
    out->damper = b.damper / lost;
    out->flow = b.flow / lost;
    out->wall = b.wall / lost;
    name_shape(f, &b, x, out);
}

/* Slowest first; of those as slow as each other, in order of the eigenvalues. */
static void sort_in(ride_mode *list, int count, const ride_mode *one) {
    int place = count;
    while (place > 0 && list[place - 1].natural > one->natural) {
        list[place] = list[place - 1];
        place--;
    }
    list[place] = *one;
}

static bool take_finder(finder *f, arena *a) {
    const network *net = &f->model->network;
    f->wheel = ARENA_ARRAY(a, double, f->model->vehicle.wheels);
    f->link_loss = ARENA_ARRAY(a, double, coupled_links(f->system));
    f->wall_loss = ARENA_ARRAY(a, double, coupled_air(f->system));
    f->edge_loss = ARENA_ARRAY(a, double, net->edges);
    return arena_complete(a);
}

baronet_status ridemodes_find(ridemodes_answer *out, arena *a, coupled *s, rates *r) {
    const double radius = TWO_PI * RIDEMODES_HIGHEST;
    finder f = {.model = rates_model(r), .system = s, .rates = r};
    f.coordinates = coupled_coordinates(s, &f.coordinate);
    *out = (ridemodes_answer){.unknowns = coupled_size(s), .highest = RIDEMODES_HIGHEST};
    spectrum_answer found = {0};
    spectrum_pencil pencil = coupled_pencil(s);
    pencil.shift = RIDEMODES_SHIFT;
    baronet_status status = take_finder(&f, a) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OK && out->unknowns > 0) {
        status = spectrum_solve(&pencil, radius + RIDEMODES_SHIFT, RIDEMODES_MOST, &found, a);
    }
    out->mode = ARENA_ARRAY(a, ride_mode, found.count);
    if (status == BARONET_OK && out->mode == NULL) {
        status = BARONET_OUT_OF_MEMORY;
    }
    if (found.reach < radius + RIDEMODES_SHIFT) {
        out->highest = (found.reach - RIDEMODES_SHIFT) / TWO_PI;
    }
    for (int k = 0; k < found.count && status == BARONET_OK; k++) {
        ride_mode one;
        describe(&f, &found, k, &one);
        if (TWO_PI * one.natural > RIDEMODES_SEALED && one.natural <= out->highest) {
            sort_in(out->mode, out->modes++, &one);
            out->swinging += one.frequency > 0.0;
            out->residual = fmax(out->residual, one.residual);
        }
    }
    return status;
}

/* Paths as straight as they are for the stated swing of the motion that they carry most in. */
static baronet_status straighten(coupled *s, swing_account *account, arena *a, rates *r,
                                 double amplitude, double frequency,
                                 const baronet_allocator *allocator) {
    const int edges = rates_model(r)->network.edges;
    path_swing *swing = ARENA_ARRAY(a, path_swing, edges);
    double *conductance = ARENA_ARRAY(a, double, edges);
    course_list courses;
    baronet_status status =
        swing != NULL && conductance != NULL ? course_all(&courses, a, r) : BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OK) {
        status = paths_swing(swing, account, r, &courses, amplitude, frequency, allocator);
    }
    for (int i = 0; i < edges && status == BARONET_OK; i++) {
        conductance[i] = swing[i].conductance;
    }
    if (status == BARONET_OK) {
        coupled_set(s, conductance);
    }
    return status;
}

baronet_status ridemodes_solve(ridemodes_answer *out, arena *a, rates *r, double amplitude,
                               double frequency, const baronet_allocator *allocator) {
    coupled *s = NULL;
    swing_account straight = {0};
    *out = (ridemodes_answer){0};
    baronet_status status = coupled_create(&s, r, RIDEMODES_SHORTEST, allocator);
    if (status == BARONET_OK) {
        status = straighten(s, &straight, a, r, amplitude, frequency, allocator);
    }
    if (status == BARONET_OK) {
        status = ridemodes_find(out, a, s, r);
    }
    out->amplitude = amplitude;
    out->swing_frequency = frequency;
    out->straight = straight;
    coupled_destroy(s);
    return status;
}

/* Mean over an axle's wheels; NAN where one has none. */
static double axle_frequency(const model *m, const rates_answer *answer, int axle_index) {
    double sum = 0.0;
    for (int c = 0; c < m->vehicle.wheels; c++) {
        if (m->vehicle.corner[c].axle == axle_index) {
            sum += answer->level[LEVEL_RIDE].ride_frequency[c];
        }
    }
    return sum / m->vehicle.axle[axle_index].corners;
}

flat_ride ridemodes_flat(const model *m, const rates_answer *answer) {
    const vehicle *v = &m->vehicle;
    flat_ride out = {0};
    for (int k = 1; k < v->axles; k++) {
        out.front = v->axle[k].x > v->axle[out.front].x ? k : out.front;
        out.rear = v->axle[k].x < v->axle[out.rear].x ? k : out.rear;
    }
    if (v->axles < 2 || !answer->level[LEVEL_RIDE].given) {
        return out;
    }
    out.front_frequency = axle_frequency(m, answer, out.front);
    out.rear_frequency = axle_frequency(m, answer, out.rear);
    out.ratio = out.rear_frequency / out.front_frequency;
    out.softer = 1.0 - 1.0 / (out.ratio * out.ratio);
    out.given = out.ratio > 0.0;
    return out;
}

void ridemodes_figures(figure_list *list, const ridemodes_answer *answer) {
    int number = 0;
    for (int k = 0; k < answer->modes; k++) {
        if (answer->mode[k].frequency > 0.0) {
            figure_list_add(list, (figure){FIGURE_DAMPING_RATIO, LEVEL_NONE, SUBJECT_NUMBER,
                                           ++number, -1, answer->mode[k].damping});
        }
    }
}
