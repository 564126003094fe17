/* SPDX-License-Identifier: MIT */
#include "studies/ride.h"

#include <string.h>

comfort_road ride_road(const model *m, int class_index, double speed, bool *assumed) {
    const body *b = &m->vehicle.body;
    const bool no_class = class_index < 0 && !b->road_given;
    const bool no_speed = !(speed > 0.0) && !(b->speed > 0.0);
    *assumed = no_class || no_speed;
    const int given_class = class_index >= 0 ? class_index : b->road_class;
    const double given_speed = speed > 0.0 ? speed : b->speed;
    return (comfort_road){no_class ? RIDE_CLASS : given_class, no_speed ? RIDE_SPEED : given_speed};
}

/* The road wanted first. */
static int list_roads(comfort_road wanted, bool others, comfort_road out[RIDE_ROADS]) {
    int count = 0;
    out[count++] = wanted;
    if (others && wanted.class_index > 0) {
        out[count++] = (comfort_road){wanted.class_index - 1, wanted.speed};
    }
    if (others && wanted.class_index + 1 < COMFORT_CLASSES) {
        out[count++] = (comfort_road){wanted.class_index + 1, wanted.speed};
    }
    if (others) {
        out[count++] = (comfort_road){wanted.class_index, 0.5 * wanted.speed};
    }
    return count;
}

static void keep(double **array, arena *a, int count) {
    double *copy = ARENA_ARRAY(a, double, count);
    if (copy != NULL) {
        memcpy(copy, *array, (size_t)count * sizeof *copy);
    }
    *array = copy;
}

static baronet_status ask_roads(ride_answer *out, arena *a, rates *r, const ride_question *question,
                                const baronet_allocator *allocator) {
    const int wheels = rates_model(r)->vehicle.wheels;
    comfort_road road[RIDE_ROADS];
    comfort *c = NULL;
    baronet_status status = comfort_create(&c, r, allocator);
    const bool others =
        status == BARONET_OK && (question->parts & RIDE_OTHERS) != 0 && !comfort_is_large(c);
    const int count = list_roads(question->road, others, road);
    for (int k = 0; k < count && status == BARONET_OK; k++) {
        comfort_answer *one = &out->comfort[k];
        status = comfort_solve(c, road[k], one);
        if (status == BARONET_OK) {
            keep(&one->corner_comfort, a, wheels);
            keep(&one->travel, a, wheels);
            keep(&one->tyre, a, wheels);
            keep(&one->tyre_part, a, wheels);
            status = arena_complete(a) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
        }
        out->roads += status == BARONET_OK;
    }
    comfort_destroy(c);
    return status;
}

static bool is_damped(const vehicle *v) {
    bool damped = false;
    for (int c = 0; c < v->wheels; c++) {
        damped = damped || v->corner[c].damper > 0.0;
    }
    return damped;
}

baronet_status ride_solve(ride_answer *out, arena *a, rates *r, const ride_question *question,
                          const baronet_allocator *allocator) {
    const model *m = rates_model(r);
    *out = (ride_answer){.flat = ridemodes_flat(m, rates_result(r)),
                         .undamped = !is_damped(&m->vehicle)};
    baronet_status status = BARONET_OK;
    if ((question->parts & RIDE_MODES) != 0) {
        status =
            ridemodes_solve(&out->modes, a, r, question->amplitude, question->frequency, allocator);
    }
    if (status == BARONET_OK && (question->parts & RIDE_COMFORT) != 0 && !out->undamped) {
        status = ask_roads(out, a, r, question, allocator);
    }
    if (status == BARONET_OK && (question->parts & RIDE_LOADS) != 0) {
        status = lateral_solve(&out->loads, a, r, allocator);
    }
    return status;
}

void figures_of_ride(figure_list *list, const model *m, const ride_answer *answer) {
    ridemodes_figures(list, &answer->modes);
    if (answer->roads > 0) {
        comfort_figures(list, m, &answer->comfort[0]);
    }
}

unsigned ride_parts_of(figure_quantity quantity) {
    return quantity == FIGURE_DAMPING_RATIO ? RIDE_MODES
           : quantity == FIGURE_COMFORT     ? RIDE_COMFORT
                                            : 0;
}
