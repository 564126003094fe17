/* SPDX-License-Identifier: MIT */
#include "studies/links.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double moments[LINKS_MOMENTS - 1] = {0.1, 0.5, 1.0, 2.0, 5.0}; /* s */

/* What all links of a state share. */
typedef struct study {
    rates *rates;
    const course_list *courses;
    const path_swing *swing;
    double amplitude, bend;
    const baronet_allocator *allocator;
} study;

static int find_course(const course_list *courses, const char *name) {
    const course *found = course_find(courses, name);
    return found != NULL ? (int)(found - courses->course) : -1;
}

/* The moments in order, the end of the bend among them. */
static void fill_moments(link_answer *l, double bend) {
    int count = 0;
    bool placed = false;
    for (int k = 0; k < LINKS_MOMENTS - 1; k++) {
        if (!placed && bend < moments[k]) {
            l->moment[count++] = bend;
            placed = true;
        }
        l->moment[count++] = moments[k];
    }
    if (!placed) {
        l->moment[count] = bend;
    }
}

/* At one of the moments. */
static double there_at(const link_answer *l, double time) {
    int k = 0;
    while (l->moment[k] != time) {
        k++;
        assert(k < LINKS_MOMENTS);
    }
    return l->there[k];
}

static link_verdict judge(const link_answer *l, double bend) {
    if (l->problem.status != BARONET_OK || !(l->of_air >= LINK_FELT)) {
        return LINK_NOTHING;
    }
    const double early = there_at(l, bend < LINK_ONSET ? bend : LINK_ONSET);
    const double late = there_at(l, bend);
    if (early >= LINK_NEARLY_ALL) {
        return LINK_GONE;
    }
    return late >= LINK_MOST ? LINK_EVENS_OUT
                             : (late >= LINK_LITTLE ? LINK_PART_WAY : LINK_TOO_SLOW);
}

static double square(const double *shape, int corners) {
    double sum = 0.0, most = 0.0;
    for (int c = 0; c < corners; c++) {
        sum += shape[c] * shape[c];
        most = fmax(most, fabs(shape[c]));
    }
    return sum / (most * most);
}

/* Runs the step with the link and with its tightest edge shut. */
static baronet_status look(link_answer *l, const study *s, int course_index) {
    const double *shape = s->courses->course[course_index].shape;
    double with[LINKS_MOMENTS] = {0.0}, without[LINKS_MOMENTS] = {0.0};
    relaxation_answer open, tight;
    relaxation_question q = {.shape = shape,
                             .amplitude = s->amplitude,
                             .parked = l->shut,
                             .without = -1,
                             .dry = true,
                             .samples = LINKS_MOMENTS,
                             .sample = l->moment,
                             .force = with};
    l->course = course_index;
    baronet_status status = relaxation_solve(s->rates, &q, &open, s->allocator);
    q.without = l->edge[0];
    q.force = without;
    if (status == BARONET_OK) {
        status = relaxation_solve(s->rates, &q, &tight, s->allocator);
    }
    if (status != BARONET_OK) {
        return status;
    }
    l->problem = open.problem.status != BARONET_OK ? open.problem : tight.problem;
    const double in_all = tight.end - open.end;
    const double wheels = square(shape, rates_model(s->rates)->vehicle.corners);
    l->taken = in_all / s->amplitude / wheels;
    l->of_air = in_all / (open.instant - open.before);
    for (int k = 0; k < LINKS_MOMENTS; k++) {
        l->there[k] = in_all != 0.0 ? (without[k] - with[k]) / in_all : 0.0;
    }
    return BARONET_OK;
}

/* Roll first; where the link does nothing there, the motion that it carries most in. */
static baronet_status look_at(link_answer *l, const study *s) {
    const int roll = find_course(s->courses, "roll");
    const int own = s->swing[l->edge[0]].course;
    baronet_status status = BARONET_OK;
    l->problem = (problem){.status = BARONET_OK, .item = -1};
    l->is_roll = roll >= 0;
    fill_moments(l, s->bend);
    if (roll >= 0) {
        status = look(l, s, roll);
    }
    const bool felt = roll >= 0 && l->of_air >= LINK_FELT;
    if (status == BARONET_OK && !felt && own >= 0 && own != roll) {
        status = look(l, s, own);
        l->is_roll = false;
    }
    l->verdict = judge(l, s->bend);
    return status;
}

static bool same_link(const path_answer *a, const path_answer *b, const path_swing *swing) {
    return a->link && b->link && a->parted == b->parted &&
           swing[a->edge].shut == swing[b->edge].shut;
}

/* Gathers the edges of the link that path `first` starts, the one that conducts least in front. */
static bool gather(link_answer *l, arena *a, const paths_answer *paths, int first,
                   const path_swing *swing) {
    l->edge = ARENA_ARRAY(a, int, paths->count - first);
    for (int k = first; k < paths->count && l->edge != NULL; k++) {
        if (!same_link(&paths->path[first], &paths->path[k], swing)) {
            continue;
        }
        const int edge_index = paths->path[k].edge;
        l->edge[l->edges++] = edge_index;
        if (swing[edge_index].conductance < swing[l->edge[0]].conductance) {
            l->edge[l->edges - 1] = l->edge[0];
            l->edge[0] = edge_index;
        }
    }
    l->shut = swing[paths->path[first].edge].shut;
    return l->edge != NULL;
}

/* Whether a path is of none of the links that the paths `first` have started. */
static bool starts_link(const paths_answer *paths, const int *first, int links, int index,
                        const path_swing *swing) {
    for (int k = 0; k < links && paths->path[index].link; k++) {
        if (same_link(&paths->path[first[k]], &paths->path[index], swing)) {
            return false;
        }
    }
    return paths->path[index].link;
}

baronet_status links_solve(links_answer *out, arena *a, rates *r, const course_list *courses,
                           const paths_answer *paths, const path_swing *swing, double amplitude,
                           double bend, const baronet_allocator *allocator) {
    const study s = {r, courses, swing, amplitude, bend, allocator};
    *out = (links_answer){.link = ARENA_ARRAY(a, link_answer, LINKS_MOST)};
    baronet_status status = out->link != NULL ? BARONET_OK : BARONET_OUT_OF_MEMORY;
    int first[LINKS_MOST];
    for (int k = 0; k < paths->count && status == BARONET_OK && out->count < LINKS_MOST; k++) {
        if (starts_link(paths, first, out->count, k, swing)) {
            first[out->count] = k;
            link_answer *l = &out->link[out->count++];
            status = gather(l, a, paths, k, swing) ? look_at(l, &s) : BARONET_OUT_OF_MEMORY;
        }
    }
    return status;
}
