/* twin.c: see twin.h.
   SPDX-License-Identifier: MIT */
#include "studies/twin.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Heights of the profiles' rows about the design height, m: uneven, and the design is not one. */
static const double offsets[] = {-0.078, -0.061, -0.022, 0.007, 0.031, 0.069, 0.092};
/* Test pressures of load tables, bar. */
static const double tests[] = {2.0, 4.5, 7.0, 9.0};

#define COUNT(array) (sizeof(array) / sizeof *(array))

int twin_corners(const twin *t) {
    int benches = 0;
    for (int i = 0; i < t->springs; i++)
        benches += t->spring[i].load > 0.0;
    return t->wheels + benches;
}

double twin_area(const twin_spring *s, double height) {
    return s->area + s->slope * (height - s->height);
}

double twin_volume(const twin_spring *s, double height) {
    const double rise = height - s->height;
    return s->breathing > 0.0 ? s->volume + s->breathing * rise
                              : s->volume + (s->area + 0.5 * s->slope * rise) * rise;
}

double twin_load(const twin_spring *s, double height, double P) {
    return twin_area(s, height) * P * (1.0 + s->bend * P);
}

static void write_profile(FILE *to, const twin_spring *s) {
    fprintf(to, "profile %s-type", s->name);
    if (s->breathing == 0.0)
        fprintf(to, " volume %.17g m3 at %.17g m", s->volume, s->height);
    fprintf(to, "\n  height m %s%s", s->bend == 0.0 ? " area m2" : "",
            s->breathing > 0.0 ? "  volume m3" : "");
    for (size_t k = 0; k < COUNT(tests) && s->bend != 0.0; k++)
        fprintf(to, "  load-%gbar N", tests[k]);
    for (size_t i = 0; i < COUNT(offsets); i++) {
        const double height = s->height + offsets[i];
        fprintf(to, "\n  %.17g", height);
        if (s->bend == 0.0)
            fprintf(to, " %.17g", twin_area(s, height));
        if (s->breathing > 0.0)
            fprintf(to, " %.17g", twin_volume(s, height));
        for (size_t k = 0; k < COUNT(tests) && s->bend != 0.0; k++)
            fprintf(to, " %.17g", twin_load(s, height, 1e5 * tests[k]));
    }
    fprintf(to, "\n");
}

static void write_spring(FILE *to, const twin *t, const twin_spring *s) {
    write_profile(to, s);
    fprintf(to, "spring %s profile %s-type height %.17g m rubber %.17g N/m", s->name, s->name,
            s->height, s->rubber);
    if (s->load > 0.0) {
        fprintf(to, " load %.17g N\n", s->load);
        return;
    }
    const bool single = s->lever[1].ratio == 0.0;
    fprintf(to, " on");
    for (int k = 0; k < (single ? 1 : 2); k++)
        fprintf(to, " %s %s%.17g", t->corner[s->lever[k].corner].name, single ? "ratio " : "",
                s->lever[k].ratio);
    fprintf(to, "\n");
}

static void write_corner(FILE *to, const twin_corner *c) {
    fprintf(to, "corner %s at %.17g m %.17g m load %.17g N unsprung %.17g kg", c->name, c->x, c->y,
            c->load, c->unsprung);
    if (c->tyre > 0.0)
        fprintf(to, " tyre %.17g N/m", c->tyre);
    if (c->coil > 0.0)
        fprintf(to, " coil %.17g N/m", c->coil);
    if (c->carries > 0.0)
        fprintf(to, " carries %.17g N", c->carries);
    if (c->bump_rate > 0.0)
        fprintf(to, " bump-stop at %.17g m rate %.17g N/m", c->bump_at, c->bump_rate);
    if (c->rebound_rate > 0.0)
        fprintf(to, " rebound-stop at %.17g m rate %.17g N/m", c->rebound_at, c->rebound_rate);
    fprintf(to, "\n");
}

rig twin_open(const twin *t) {
    char *words = NULL;
    size_t length = 0;
    FILE *const to = open_memstream(&words, &length);
    cr_assert(to != NULL);
    fprintf(to, "ambient pressure %.17g Pa temperature 287.3 K\ngas exponent %.17g\n", t->ambient,
            t->exponent);
    if (t->arm != 0.0)
        fprintf(to, "vehicle cg-height %.17g m roll-axis 0.37 m\n", 0.37 + t->arm);
    for (int c = 0; c < t->wheels; c++)
        write_corner(to, &t->corner[c]);
    for (int i = 0; i < t->bars; i++)
        fprintf(to, "bar bar%d between %s %s roll %.17g N.m/rad\n", i,
                t->corner[t->bar[i].left].name, t->corner[t->bar[i].right].name, t->bar[i].roll);
    for (int i = 0; i < t->springs; i++)
        write_spring(to, t, &t->spring[i]);
    fprintf(to, "%s", t->plumbing);
    fclose(to);
    const rig r = rig_open("%s", words);
    free(words);
    cr_assert_eq(r.model->vehicle.corners, twin_corners(t));
    return r;
}

twin_air twin_air_of(const twin *t, const rig *r, const twin_groups *groups_now,
                     const state_standing *s) {
    twin_air air = {.travel = {0.0}};
    for (int i = 0; i < t->springs; i++) {
        const int group = groups_now != NULL ? groups_now->group[i] : i;
        air.in.group[i] = group;
        air.in.fixed[group] = groups_now != NULL ? groups_now->fixed[group] : 0.0;
        air.pressure[group] = s->node_pressure[rig_node(r, t->spring[i].name)];
    }
    memcpy(air.travel, s->travel, (size_t)twin_corners(t) * sizeof *air.travel);
    return air;
}

static double height_at(const twin_spring *s, const double *travel) {
    double height = s->height;
    for (int k = 0; k < 2; k++)
        height -= s->lever[k].ratio * travel[s->lever[k].corner];
    return height;
}

static void add_steel(const twin *t, const double *travel, double *force) {
    for (int c = 0; c < t->wheels; c++) {
        const twin_corner *const at = &t->corner[c];
        force[c] += at->carries + at->coil * travel[c];
        force[c] += at->bump_rate * fmax(0.0, travel[c] - at->bump_at);
        force[c] -= at->rebound_rate * fmax(0.0, -travel[c] - at->rebound_at);
    }
    for (int i = 0; i < t->bars; i++) {
        /* The bar twists by the angle of its ends; its couple acts over the track. */
        const twin_bar *const one = &t->bar[i];
        const double track = t->corner[one->left].y - t->corner[one->right].y;
        const double angle = (travel[one->left] - travel[one->right]) / track;
        force[one->left] += one->roll * angle / track;
        force[one->right] -= one->roll * angle / track;
    }
}

void twin_force(const twin *t, const twin_air *air, double n, const double *travel, double *force) {
    double before[TWIN_SPRINGS], now[TWIN_SPRINGS];
    memcpy(before, air->in.fixed, sizeof before);
    memcpy(now, air->in.fixed, sizeof now);
    for (int i = 0; i < t->springs; i++) {
        before[air->in.group[i]] +=
            twin_volume(&t->spring[i], height_at(&t->spring[i], air->travel));
        now[air->in.group[i]] += twin_volume(&t->spring[i], height_at(&t->spring[i], travel));
    }
    for (int c = 0; c < twin_corners(t); c++)
        force[c] = 0.0;
    add_steel(t, travel, force);
    for (int i = 0; i < t->springs; i++) {
        const twin_spring *const s = &t->spring[i];
        const int group = air->in.group[i];
        const double p = air->pressure[group] * pow(before[group] / now[group], n);
        const double h = height_at(s, travel);
        const double load = twin_load(s, h, p - t->ambient) + s->rubber * (s->height - h);
        for (int k = 0; k < 2; k++)
            if (s->lever[k].ratio != 0.0)
                force[s->lever[k].corner] += s->lever[k].ratio * load;
    }
}

/* Central difference of the force at every corner for one wheel's travel. */
static void difference(const twin *t, const twin_air *air, double n, int wheel, double step,
                       double *slope) {
    double travel[TWIN_CORNERS], up[TWIN_CORNERS], down[TWIN_CORNERS];
    memcpy(travel, air->travel, sizeof travel);
    travel[wheel] += step;
    twin_force(t, air, n, travel, up);
    travel[wheel] -= 2.0 * step;
    twin_force(t, air, n, travel, down);
    for (int c = 0; c < twin_corners(t); c++)
        slope[c] = (up[c] - down[c]) / (2.0 * step);
}

void twin_stiffness(const twin *t, const twin_air *air, double n, double *K) {
    const int corners = twin_corners(t);
    double coarse[TWIN_CORNERS], fine[TWIN_CORNERS];
    for (int d = 0; d < corners; d++) {
        difference(t, air, n, d, 4e-4, coarse);
        difference(t, air, n, d, 2e-4, fine);
        for (int c = 0; c < corners; c++)
            K[c * corners + d] = (4.0 * fine[c] - coarse[c]) / 3.0; /* Richardson */
    }
}
