#include "studies/fill.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/sets.h"
#include "numeric/dense.h"

/* Largest part of a corner's load by which springs, coil and load may disagree: scales and gauges
   are read to three digits, but numbers in a file that fix one another should agree to rounding. */
#define FILL_TOLERANCE 1e-6
/* Relative change of pressures at which load tables count as solved. */
#define FILL_SETTLED 1e-12
/* Singular values below this part of the largest count as zero. */
#define FILL_RANK_CUT 1e-9

static void join_corners(int *joined, const vehicle *v) {
    sets_start(joined, v->corners);
    for (int i = 0; i < v->springs; i++) {
        for (int k = 1; k < v->spring[i].levers; k++) {
            sets_join(joined, v->spring[i].lever[0].corner, v->spring[i].lever[k].corner);
        }
    }
}

/* Numbers the sets in order of their first corner and counts what is in each. */
static void count_sets(fill *f, const vehicle *v, int *joined, int *set_of) {
    for (int c = 0; c < v->corners; c++) {
        const int least = sets_find(joined, c);
        set_of[c] = least == c ? f->sets++ : set_of[least];
        f->set[set_of[c]].corners++;
    }
    for (int i = 0; i < v->springs; i++) {
        f->set[set_of[v->spring[i].lever[0].corner]].springs++;
    }
}

static bool list_sets(fill *f, arena *a, const vehicle *v, const int *set_of) {
    size_t largest = 1;
    size_t side = 1;
    for (int k = 0; k < f->sets; k++) {
        fill_set *s = &f->set[k];
        s->corner = ARENA_ARRAY(a, int, s->corners);
        s->spring = ARENA_ARRAY(a, int, s->springs);
        if (s->corner == NULL || s->spring == NULL) {
            return false;
        }
        const size_t rows = (size_t)s->corners;
        const size_t columns = (size_t)s->springs;
        /* Springs of one corner share one unknown, unless they differ in what is given. */
        const size_t area = rows == 1 ? columns : rows * columns;
        largest = area > largest ? area : largest;
        side = rows + columns > side ? rows + columns : side;
        s->corners = s->springs = 0;
    }
    for (int c = 0; c < v->corners; c++) {
        fill_set *s = &f->set[set_of[c]];
        s->corner[s->corners++] = c;
    }
    for (int i = 0; i < v->springs; i++) {
        fill_set *s = &f->set[set_of[v->spring[i].lever[0].corner]];
        s->spring[s->springs++] = i;
    }
    f->matrix = ARENA_ARRAY(a, double, largest);
    f->side = ARENA_ARRAY(a, double, side);
    return f->matrix != NULL && f->side != NULL;
}

baronet_status fill_make(fill *out, arena *a, const model *m) {
    const vehicle *v = &m->vehicle;
    *out = (fill){.height = ARENA_ARRAY(a, double, v->springs),
                  .pressure = ARENA_ARRAY(a, double, v->springs),
                  .force = ARENA_ARRAY(a, double, v->springs),
                  .sprung = ARENA_ARRAY(a, double, v->corners),
                  .carries = ARENA_ARRAY(a, double, v->corners),
                  .set = ARENA_ARRAY(a, fill_set, v->corners),
                  .column = ARENA_ARRAY(a, int, v->springs),
                  .shared = ARENA_ARRAY(a, int, v->corners)};
    int *joined = ARENA_ARRAY(a, int, v->corners);
    int *set_of = ARENA_ARRAY(a, int, v->corners);
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    join_corners(joined, v);
    count_sets(out, v, joined, set_of);
    return list_sets(out, a, v, set_of) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

static baronet_status fail(problem *why, baronet_status status, int item, int other, double amount,
                           double wanted) {
    *why = (problem){status, item, other, amount, wanted};
    return status;
}

/* Travel of spring i per travel of corner c; 0 where it does not stand on it. */
static double lever_ratio(const spring *s, int corner_index) {
    double ratio = 0.0;
    for (int k = 0; k < s->levers; k++) {
        if (s->lever[k].corner == corner_index) {
            ratio += s->lever[k].ratio;
        }
    }
    return ratio;
}

static bool known(const spring *s) {
    return s->height_given && s->pressure_given;
}

/* Force that the springs with both height and pressure give at one corner; `*open` counts the
   others on it. */
static double known_force(const fill *f, const model *m, const fill_set *s, int corner_index,
                          int *open) {
    double sum = 0.0;
    *open = 0;
    for (int k = 0; k < s->springs; k++) {
        const spring *one = &m->vehicle.spring[s->spring[k]];
        const double ratio = lever_ratio(one, corner_index);
        if (ratio != 0.0 && known(one)) {
            sum += ratio * f->force[s->spring[k]];
        } else if (ratio != 0.0) {
            (*open)++;
        }
    }
    return sum;
}

/* Sprung load and coil force of each corner of a set, as far as they follow without solving. */
static baronet_status share_out(fill *f, const model *m, const fill_set *s, problem *why) {
    for (int k = 0; k < s->corners; k++) {
        const int c = s->corner[k];
        const corner *at = &m->vehicle.corner[c];
        int open = 0;
        const double held = known_force(f, m, s, c, &open);
        f->carries[c] = at->carries_given ? at->carries : 0.0;
        if (at->load_given) {
            f->sprung[c] = at->load - at->unsprung * STANDARD_GRAVITY;
            if (!at->carries_given && at->coil_given && open == 0) {
                f->carries[c] = f->sprung[c] - held; /* the coil takes the rest */
            }
        } else if (open == 0) { /* the netlist has seen that a spring stands there */
            f->sprung[c] = held + f->carries[c];
        } else {
            return fail(why, BARONET_UNDETERMINED, -1, c, 0.0, 0.0);
        }
        if (f->sprung[c] <= 0.0) {
            return fail(why, BARONET_CONTRADICTION, -1, c, held + f->carries[c], f->sprung[c]);
        }
    }
    return BARONET_OK;
}

/* Gives each open spring of a set its unknown: a pressure, shared by the springs of one corner
   where the height is given; a force of its own where the pressure is. Returns how many; `*forces`
   counts the latter. */
static int number_unknowns(fill *f, const model *m, const fill_set *s, bool refill, int *forces) {
    int count = 0;
    *forces = 0;
    for (int k = 0; k < s->corners; k++) {
        f->shared[s->corner[k]] = -1;
    }
    for (int k = 0; k < s->springs; k++) {
        const int i = s->spring[k];
        const spring *one = &m->vehicle.spring[i];
        f->column[i] = -1;
        if (!refill && known(one)) {
            continue;
        }
        const bool force = !refill && !one->height_given;
        *forces += force;
        if (force || one->levers > 1) {
            f->column[i] = count++;
            continue;
        }
        int *shared = &f->shared[one->lever[0].corner];
        if (*shared < 0) {
            *shared = count++;
        }
        f->column[i] = *shared;
    }
    return count;
}

/* The equations of a set, at the areas that the present pressures have: one row a corner. In a
   refill the unknowns are changes of pressure, so that what carries its load already is left as it
   is. */
static void equations(fill *f, const model *m, const fill_set *s, bool refill, int columns,
                      const double *sprung, const double *pressure) {
    memset(f->matrix, 0, (size_t)(s->corners * columns) * sizeof *f->matrix);
    for (int r = 0; r < s->corners; r++) {
        f->side[r] = sprung[s->corner[r]] - f->carries[s->corner[r]];
        for (int k = 0; k < s->springs; k++) {
            const int i = s->spring[k];
            const spring *one = &m->vehicle.spring[i];
            const double ratio = lever_ratio(one, s->corner[r]);
            if (f->column[i] < 0) {
                f->side[r] -= ratio * f->force[i];
            } else if (!refill && !one->height_given) {
                f->matrix[r * columns + f->column[i]] += ratio;
            } else {
                const profile_point at =
                    profile_at(&m->vehicle.profile[one->profile], f->height[i], pressure[i]);
                f->matrix[r * columns + f->column[i]] += ratio * at.area;
                f->side[r] -= refill ? ratio * at.area * f->pressure[i] : 0.0;
            }
        }
    }
}

static baronet_status solve_equations(fill *f, const fill_set *s, int columns, int *rank) {
    if (s->corners == 1 && columns == 1) {
        f->side[0] /= f->matrix[0];
        *rank = 1;
        return BARONET_OK;
    }
    return dense_least_squares(s->corners, columns, f->matrix, f->side, FILL_RANK_CUT, rank);
}

/* Height at which a spring of given pressure carries a given force: the one place in its profile
   where the load passes it. */
static baronet_status find_height(const profile *p, double P, double force, int i, double *height,
                                  problem *why) {
    enum { PIECES = 256 };
    assert(p->rows > 0); /* a piston carries the same at every height, which the netlist refuses */
    int found = 0;
    for (int k = 0; k < PIECES; k++) {
        double low = p->lowest + (p->highest - p->lowest) * k / PIECES;
        double high = p->lowest + (p->highest - p->lowest) * (k + 1) / PIECES;
        const bool falls = profile_at(p, low, P).load >= force;
        if (falls == (profile_at(p, high, P).load >= force)) {
            continue;
        }
        for (int step = 0; step < 60; step++) {
            const double middle = 0.5 * (low + high);
            if ((profile_at(p, middle, P).load >= force) == falls) {
                low = middle;
            } else {
                high = middle;
            }
        }
        *height = 0.5 * (low + high);
        found++;
    }
    return found == 1 ? BARONET_OK : fail(why, BARONET_UNDETERMINED, i, -1, force, P);
}

static bool uses_load_table(const fill_set *s, const model *m) {
    for (int k = 0; k < s->springs; k++) {
        if (m->vehicle.profile[m->vehicle.spring[s->spring[k]].profile].tests > 0) {
            return true;
        }
    }
    return false;
}

/* Pressures of a set's unknowns; with load tables the area depends on the pressure, a weak
   dependence that repetition settles. */
static baronet_status solve_pressures(fill *f, const model *m, const fill_set *s, bool refill,
                                      const double *sprung, double *pressure, int columns,
                                      int *rank) {
    for (int round = 0; round < 100; round++) {
        equations(f, m, s, refill, columns, sprung, pressure);
        const baronet_status status = solve_equations(f, s, columns, rank);
        if (status != BARONET_OK) {
            return status;
        }
        double change = 0.0;
        for (int k = 0; k < s->springs; k++) {
            const int i = s->spring[k];
            if (f->column[i] >= 0 && (refill || m->vehicle.spring[i].height_given)) {
                const double P = f->side[f->column[i]] + (refill ? f->pressure[i] : 0.0);
                change = fmax(change, fabs(P - pressure[i]) / fmax(fabs(P), 1.0));
                pressure[i] = P;
            }
        }
        if (change < FILL_SETTLED || !uses_load_table(s, m)) {
            break;
        }
    }
    return BARONET_OK;
}

/* Force of each spring of a set once pressures are known, and height of those that lack one. */
static baronet_status finish_springs(fill *f, const model *m, const fill_set *s, problem *why) {
    for (int k = 0; k < s->springs; k++) {
        const int i = s->spring[k];
        const spring *one = &m->vehicle.spring[i];
        const profile *p = &m->vehicle.profile[one->profile];
        if (f->column[i] >= 0 && !one->height_given) {
            f->force[i] = f->side[f->column[i]];
            const baronet_status status =
                find_height(p, f->pressure[i], f->force[i], i, &f->height[i], why);
            if (status != BARONET_OK) {
                return status;
            }
        } else {
            f->force[i] = profile_at(p, f->height[i], f->pressure[i]).load;
        }
        if (f->pressure[i] < 0.0) {
            return fail(why, BARONET_SLACK, i, -1, f->pressure[i], 0.0);
        }
    }
    return BARONET_OK;
}

/* Where a set has more equations than unknowns, what is given may disagree: say by how much. */
static baronet_status check_forces(const fill *f, const model *m, const fill_set *s, problem *why) {
    for (int r = 0; r < s->corners; r++) {
        const int c = s->corner[r];
        double sum = f->carries[c];
        for (int k = 0; k < s->springs; k++) {
            sum += lever_ratio(&m->vehicle.spring[s->spring[k]], c) * f->force[s->spring[k]];
        }
        if (fabs(sum - f->sprung[c]) > FILL_TOLERANCE * f->sprung[c]) {
            return fail(why, BARONET_CONTRADICTION, -1, c, sum, f->sprung[c]);
        }
    }
    return BARONET_OK;
}

static baronet_status solve_set(fill *f, const model *m, const fill_set *s, problem *why) {
    baronet_status status = share_out(f, m, s, why);
    if (status != BARONET_OK) {
        return status;
    }
    int forces = 0;
    int rank = 0;
    const int columns = number_unknowns(f, m, s, false, &forces);
    if (columns > 0) {
        status = solve_pressures(f, m, s, false, f->sprung, f->pressure, columns, &rank);
    }
    if (status != BARONET_OK) {
        return status;
    }
    if (forces > 0 && rank < columns) {
        return fail(why, BARONET_UNDETERMINED, s->spring[0], -1, 0.0, 0.0);
    }
    status = finish_springs(f, m, s, why);
    return status == BARONET_OK ? check_forces(f, m, s, why) : status;
}

/* First values: given heights and pressures, and the force where both are. */
static baronet_status take_given(fill *f, const model *m, problem *why) {
    for (int i = 0; i < m->vehicle.springs; i++) {
        const spring *s = &m->vehicle.spring[i];
        const profile *p = &m->vehicle.profile[s->profile];
        f->height[i] = s->height_given ? s->height : 0.0;
        f->pressure[i] = s->pressure_given ? s->pressure : (p->tests > 0 ? p->pressure[0] : 0.0);
        if (s->height_given && profile_overrun(p, s->height) != 0.0) {
            return fail(why, BARONET_OFF_PROFILE, i, -1, profile_overrun(p, s->height), s->height);
        }
        f->force[i] = known(s) ? profile_at(p, s->height, s->pressure).load : 0.0;
    }
    return BARONET_OK;
}

baronet_status fill_solve(fill *f, const model *m, problem *why) {
    baronet_status status = take_given(f, m, why);
    for (int k = 0; k < f->sets && status == BARONET_OK; k++) {
        status = solve_set(f, m, &f->set[k], why);
    }
    return status;
}

baronet_status fill_refill(fill *f, const model *m, const double *sprung, double *pressure,
                           problem *why) {
    memcpy(pressure, f->pressure, (size_t)m->vehicle.springs * sizeof *pressure);
    for (int k = 0; k < f->sets; k++) {
        const fill_set *s = &f->set[k];
        int forces = 0;
        int rank = 0;
        const int columns = number_unknowns(f, m, s, true, &forces);
        if (columns == 0) {
            continue; /* a corner on its coil alone */
        }
        const baronet_status status =
            solve_pressures(f, m, s, true, sprung, pressure, columns, &rank);
        if (status != BARONET_OK) {
            return status;
        }
        for (int j = 0; j < s->springs; j++) {
            const int i = s->spring[j];
            if (pressure[i] < 0.0) {
                return fail(why, BARONET_SLACK, i, -1, pressure[i], 0.0);
            }
        }
    }
    return BARONET_OK;
}
