/* ode.h: a stiff system of ordinary differential equations dy/dt = f(t, y) in time, by backward
   differentiation of variable order (CVODE: Hindmarsh et al., ACM TOMS 31 (2005) 363) with an
   analytic sparse Jacobian that KLU factors, and events located where a function of the state
   passes zero. Linear combinations of y that f leaves alone are kept to rounding, as long as the
   Jacobian leaves them alone too.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_ODE_H
#define NUMERIC_ODE_H

#include <stdbool.h>

#include "numeric/pattern.h"

typedef struct ode_problem {
    int size;               /* of y; positive */
    const pattern *pattern; /* places of the Jacobian, every one of its diagonal among them */
    /* Fills f(t, y). False where y is out of what f is defined for: a shorter step is then tried.
     */
    bool (*rate)(void *context, double t, const double *y, double *dydt);
    /* Fills df/dy at the pattern's places. */
    void (*slope)(void *context, double t, const double *y, double *values);
    int roots; /* functions whose first passing zero is an event */
    /* Fills them. Each must pass zero, not only touch it, to be seen, and two that do so at the
       same time are one event. NULL where there are none. */
    void (*root)(void *context, double t, const double *y, double *g);
    void *context;
    double relative;        /* error of a step allowed in each y, in parts of it, */
    const double *absolute; /* and at least so much; size, positive */
    int order;              /* highest order of the method; 0: 5. Above 2 it is not stable where
                               something rings with little damping, and then crawls */
    int fresh;              /* steps after which slopes are found anew at the latest; 0: 50. Where a
                               slope ends at a kink, an old one shrinks Newton's corrections to
                               nothing, which passes for convergence: take few then */
    long steps;             /* most steps of one run; 0: ODE_STEPS */
} ode_problem;

/* Steps of one run where nothing else is said: far more than any network here takes, so that what
   does not end by itself ends all the same. */
#define ODE_STEPS 200000L

typedef struct ode ode;

/* The problem is borrowed, and must outlive it. */
BARONET_CHECKED baronet_status ode_create(ode **out, const ode_problem *problem,
                                          const baronet_allocator *allocator);
void ode_destroy(ode *o);

/* Begins a run at a state, with all factors and counts anew: also after a jump, such as a valve
   that opens. */
BARONET_CHECKED baronet_status ode_start(ode *o, double t, const double *y);

/* Goes on to the time `until` or to the next event, whichever is first. `*event` receives the
   function that passed zero, -1 where none did. NOT_CONVERGED where the steps are used up or none
   goes on, NOT_FINITE. */
BARONET_CHECKED baronet_status ode_advance(ode *o, double until, int *event);

/* Where the run stands; the state belongs to it. */
double ode_time(const ode *o);
const double *ode_state(const ode *o);

typedef struct ode_account {
    long steps, rates, factorings;
} ode_account;

ode_account ode_account_of(const ode *o);

#endif
