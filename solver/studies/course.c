#include "studies/course.h"

#include <string.h>

static bool add(course_list *list, arena *a, const model *m, const char *prefix, const char *name,
                course **out) {
    text_buffer full = {.allocator = arena_allocator(a)};
    text_buffer_add(&full, prefix);
    text_buffer_add(&full, name);
    course *one = &list->course[list->count++];
    one->name = full.failed ? NULL : arena_copy_text(a, full.bytes, full.length);
    one->shape = ARENA_ARRAY(a, double, m->vehicle.corners);
    text_buffer_free(&full);
    *out = one;
    return one->name != NULL && one->shape != NULL;
}

static bool add_body(course_list *list, arena *a, rates *r) {
    static const char *const names[BODY_MOTIONS] = {"heave", "roll", "pitch"};
    bool complete = true;
    for (int k = 0; k < BODY_MOTIONS && complete; k++) {
        course *one = NULL;
        if (rates_result(r)->has[k]) {
            complete = add(list, a, rates_model(r), "", names[k], &one);
            if (complete) {
                rates_body_shape(r, (body_motion)k, one->shape);
            }
        }
    }
    return complete;
}

static bool add_warps(course_list *list, arena *a, rates *r) {
    const int warps = rates_result(r)->warps;
    bool complete = true;
    for (int k = 0; k < warps && complete; k++) {
        text_buffer number = {.allocator = arena_allocator(a)};
        text_buffer_format(&number, "warp:%d", k + 1);
        course *one = NULL;
        complete = !number.failed &&
                   add(list, a, rates_model(r), "", warps == 1 ? "warp" : number.bytes, &one);
        if (complete) {
            rates_warp_shape(r, k, one->shape);
        }
        text_buffer_free(&number);
    }
    return complete;
}

static bool add_rest(course_list *list, arena *a, rates *r) {
    const model *m = rates_model(r);
    bool complete = true;
    for (int c = 0; c < m->vehicle.corners && complete; c++) {
        course *one = NULL;
        complete = add(list, a, m, "one-wheel:", m->vehicle.corner[c].name, &one);
        if (complete) {
            one->shape[c] = 1.0;
        }
    }
    for (int k = 0; k < m->motions && complete; k++) {
        course *one = NULL;
        complete = add(list, a, m, "", m->motion[k].name, &one);
        if (complete) {
            memcpy(one->shape, m->motion[k].travel,
                   (size_t)m->vehicle.corners * sizeof *one->shape);
        }
    }
    return complete;
}

baronet_status course_all(course_list *out, arena *a, rates *r) {
    const model *m = rates_model(r);
    const int most = BODY_MOTIONS + rates_result(r)->warps + m->vehicle.corners + m->motions;
    *out = (course_list){.course = ARENA_ARRAY(a, course, most)};
    const bool complete =
        out->course != NULL && add_body(out, a, r) && add_warps(out, a, r) && add_rest(out, a, r);
    return complete ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

const course *course_find(const course_list *list, const char *name) {
    for (int k = 0; k < list->count; k++) {
        if (strcmp(list->course[k].name, name) == 0) {
            return &list->course[k];
        }
    }
    return NULL;
}
