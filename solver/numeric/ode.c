/* SPDX-License-Identifier: MIT */
#include "numeric/ode.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include "base/memory.h"

/* Steps between two looks at the budget: SUNDIALS stops after so many by itself. */
#define ODE_STRETCH 500L

struct ode {
    const ode_problem *problem;
    const baronet_allocator *allocator;
    SUNContext context;
    void *solver;
    N_Vector state, absolute;
    SUNMatrix matrix;
    SUNLinearSolver linear;
    int *found; /* roots */
    bool *past; /* roots: passed in this run */
    double time;
    bool started;
};

/* SUNDIALS says on standard error what it returns as well: the library is silent. */
static void say_nothing(int code, const char *module, const char *function, char *words,
                        void *data) {
    (void)code;
    (void)module;
    (void)function;
    (void)words;
    (void)data;
}

static int fill_rate(realtype t, N_Vector y, N_Vector dydt, void *data) {
    const ode *o = data;
    double *out = N_VGetArrayPointer(dydt);
    if (!o->problem->rate(o->problem->context, t, N_VGetArrayPointer(y), out)) {
        return 1; /* recoverable */
    }
    for (int i = 0; i < o->problem->size; i++) {
        if (!isfinite(out[i])) {
            return 1;
        }
    }
    return 0;
}

/* SUNDIALS empties the whole matrix before it asks, places included. */
static void set_places(const pattern *p, SUNMatrix matrix) {
    sunindextype *start = SUNSparseMatrix_IndexPointers(matrix);
    sunindextype *row = SUNSparseMatrix_IndexValues(matrix);
    for (int j = 0; j <= p->size; j++) {
        start[j] = p->start[j];
    }
    for (int k = 0; k < p->entries; k++) {
        row[k] = p->row[k];
    }
}

static int fill_slope(realtype t, N_Vector y, N_Vector dydt, SUNMatrix matrix, void *data,
                      N_Vector a, N_Vector b, N_Vector c) {
    (void)dydt;
    (void)a;
    (void)b;
    (void)c;
    const ode *o = data;
    double *values = SUNSparseMatrix_Data(matrix);
    set_places(o->problem->pattern, matrix);
    memset(values, 0, (size_t)o->problem->pattern->entries * sizeof *values);
    o->problem->slope(o->problem->context, t, N_VGetArrayPointer(y), values);
    return 0;
}

static int fill_roots(realtype t, N_Vector y, realtype *g, void *data) {
    const ode *o = data;
    o->problem->root(o->problem->context, t, N_VGetArrayPointer(y), g);
    for (int k = 0; k < o->problem->roots; k++) {
        /* Where the integrator goes on from a root it must not find it once more by rounding. */
        g[k] = o->past[k] ? 1.0 : g[k];
    }
    return 0;
}

/* SUNDIALS 6.4 writes through the NULL that it gets where there is no memory for its context, its
   vectors and its copy of the matrix, so that there is room for all of that is made sure of first.
   It takes fifteen vectors and three matrices, and less than 16 KiB besides. */
#define ODE_ROOM    ((size_t)32 << 10)
#define ODE_VECTORS 24
static bool has_room(const ode_problem *p) {
    const size_t matrix = ((size_t)p->pattern->entries + (size_t)p->size + 2) * 2 * sizeof(double);
    const size_t vector = (size_t)(p->size + p->roots + 16) * sizeof(double);
    void *const room = memory_resize(NULL, NULL, ODE_ROOM + ODE_VECTORS * vector + 4 * matrix);
    memory_resize(NULL, room, 0);
    return room != NULL;
}

static bool take_parts(ode *o) {
    const ode_problem *p = o->problem;
    if (!has_room(p) || SUNContext_Create(NULL, &o->context) != 0) {
        return false;
    }
    o->state = N_VNew_Serial(p->size, o->context);
    o->absolute = N_VNew_Serial(p->size, o->context);
    o->matrix = SUNSparseMatrix(p->size, p->size, p->pattern->entries + 1, CSC_MAT, o->context);
    o->solver = CVodeCreate(CV_BDF, o->context);
    o->found = memory_resize(o->allocator, NULL, ((size_t)p->roots + 1) * sizeof *o->found);
    o->past = memory_resize(o->allocator, NULL, ((size_t)p->roots + 1) * sizeof *o->past);
    if (o->state == NULL || o->absolute == NULL || o->matrix == NULL || o->solver == NULL ||
        o->found == NULL || o->past == NULL) {
        return false;
    }
    memset(o->past, 0, ((size_t)p->roots + 1) * sizeof *o->past);
    set_places(p->pattern, o->matrix);
    o->linear = SUNLinSol_KLU(o->state, o->matrix, o->context);
    return o->linear != NULL;
}

static bool set_up(ode *o) {
    const ode_problem *p = o->problem;
    memcpy(N_VGetArrayPointer(o->absolute), p->absolute, (size_t)p->size * sizeof(double));
    N_VConst(0.0, o->state);
    return CVodeSetErrHandlerFn(o->solver, say_nothing, NULL) == CV_SUCCESS &&
           CVodeInit(o->solver, fill_rate, 0.0, o->state) == CV_SUCCESS &&
           CVodeSVtolerances(o->solver, p->relative, o->absolute) == CV_SUCCESS &&
           CVodeSetUserData(o->solver, o) == CV_SUCCESS &&
           CVodeSetLinearSolver(o->solver, o->linear, o->matrix) == CV_SUCCESS &&
           CVodeSetJacFn(o->solver, fill_slope) == CV_SUCCESS &&
           CVodeSetMaxNumSteps(o->solver, ODE_STRETCH) == CV_SUCCESS &&
           CVodeSetMaxConvFails(o->solver, 30) == CV_SUCCESS &&
           CVodeSetMaxErrTestFails(o->solver, 30) == CV_SUCCESS &&
           (p->fresh <= 0 || (CVodeSetLSetupFrequency(o->solver, p->fresh) == CV_SUCCESS &&
                              CVodeSetJacEvalFrequency(o->solver, p->fresh) == CV_SUCCESS)) &&
           (p->order <= 0 || CVodeSetMaxOrd(o->solver, p->order) == CV_SUCCESS) &&
           (p->roots == 0 || (CVodeRootInit(o->solver, p->roots, fill_roots) == CV_SUCCESS &&
                              CVodeSetNoInactiveRootWarn(o->solver) == CV_SUCCESS));
}

baronet_status ode_create(ode **out, const ode_problem *problem,
                          const baronet_allocator *allocator) {
    assert(problem->size > 0 && problem->pattern->size == problem->size);
    *out = NULL;
    ode *o = memory_resize(allocator, NULL, sizeof *o);
    if (o == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    *o = (ode){.problem = problem, .allocator = allocator};
    if (!take_parts(o) || !set_up(o)) {
        ode_destroy(o);
        return BARONET_OUT_OF_MEMORY;
    }
    *out = o;
    return BARONET_OK;
}

void ode_destroy(ode *o) {
    if (o == NULL) {
        return;
    }
    CVodeFree(&o->solver);
    if (o->linear != NULL) {
        SUNLinSolFree(o->linear);
    }
    if (o->matrix != NULL) {
        SUNMatDestroy(o->matrix);
    }
    N_VDestroy(o->state);
    N_VDestroy(o->absolute);
    SUNContext_Free(&o->context);
    memory_resize(o->allocator, o->found, 0);
    memory_resize(o->allocator, o->past, 0);
    memory_resize(o->allocator, o, 0);
}

/* The linear solver refactors with the pivots that it has and cannot tell when they have gone bad,
   so each start takes new ones. */
static baronet_status restart(ode *o) {
    const bool good = CVodeReInit(o->solver, o->time, o->state) == CV_SUCCESS &&
                      SUNLinSolInitialize(o->linear) == 0;
    return good ? BARONET_OK : BARONET_NOT_CONVERGED;
}

baronet_status ode_start(ode *o, double t, const double *y) {
    for (int i = 0; i < o->problem->size; i++) {
        if (!isfinite(y[i])) {
            return BARONET_NOT_FINITE;
        }
    }
    if (!o->started && !has_room(o->problem)) {
        return BARONET_OUT_OF_MEMORY; /* the first start copies the matrix */
    }
    memcpy(N_VGetArrayPointer(o->state), y, (size_t)o->problem->size * sizeof *y);
    memset(o->past, 0, (size_t)o->problem->roots * sizeof *o->past);
    o->time = t;
    o->started = true;
    return restart(o);
}

/* Want of memory looks like any other failure of the linear solver. */
static bool is_starved(const ode *o) {
    return SUNLinSol_KLUGetCommon(o->linear)->status == KLU_OUT_OF_MEMORY;
}

static int event_found(ode *o) {
    if (CVodeGetRootInfo(o->solver, o->found) == CV_SUCCESS) {
        for (int k = 0; k < o->problem->roots; k++) {
            if (o->found[k] != 0 && !o->past[k]) {
                o->past[k] = true;
                return k;
            }
        }
    }
    return -1;
}

baronet_status ode_advance(ode *o, double until, int *event) {
    assert(o->started);
    const long most = o->problem->steps > 0 ? o->problem->steps : ODE_STEPS;
    bool again = true; /* one more try with new pivots where it is stuck */
    *event = -1;
    while (o->time < until) {
        const int code = CVode(o->solver, until, o->state, &o->time, CV_NORMAL);
        if (code == CV_SUCCESS) {
            return BARONET_OK;
        }
        if (code == CV_ROOT_RETURN) {
            *event = event_found(o);
            return BARONET_OK;
        }
        if (code == CV_TOO_MUCH_WORK) {
            if (ode_account_of(o).steps >= most) {
                return BARONET_NOT_CONVERGED;
            }
        } else if (code == CV_MEM_FAIL || is_starved(o)) {
            return BARONET_OUT_OF_MEMORY;
        } else if (again && (code == CV_CONV_FAILURE || code == CV_ERR_FAILURE ||
                             code == CV_LSETUP_FAIL || code == CV_LSOLVE_FAIL)) {
            again = false;
            if (restart(o) != BARONET_OK) {
                return BARONET_NOT_CONVERGED;
            }
        } else {
            return BARONET_NOT_CONVERGED;
        }
    }
    return BARONET_OK;
}

double ode_time(const ode *o) {
    return o->time;
}

const double *ode_state(const ode *o) {
    return N_VGetArrayPointer(o->state);
}

ode_account ode_account_of(const ode *o) {
    ode_account a = {0};
    CVodeGetNumSteps(o->solver, &a.steps);
    CVodeGetNumRhsEvals(o->solver, &a.rates);
    CVodeGetNumLinSolvSetups(o->solver, &a.factorings);
    return a;
}
