/* relaxation.h: what happens after a held step: the wheels move at once along a motion and are held
   there, and the air evens out by the full flow laws.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RELAXATION_H
#define STUDIES_RELAXATION_H

#include "studies/cells.h"
#include "studies/rates.h"

/* Shares of the way from instant to the end: one less 1/e, which a single exponential has covered
   after one time constant, and 95 %. */
#define RELAXATION_63 0.63212055882855767
#define RELAXATION_95 0.95

/* Where instant and end differ by less than this part of what the step did at once, there is
   nothing to settle. */
#define RELAXATION_LEAST 1e-6

/* A run is given up after this much time. */
#define RELAXATION_LONGEST 1e8 /* s, three years */
/* One that gets stuck is tried again so often, with a tolerance so many times larger: it then moves
   settling times by 1e-4 at most. */
#define RELAXATION_RETRIES 4
#define RELAXATION_COARSER 4.0

/* Volumeless nodes (tees and blocks) are lent this part of the least volume in their group by its
   largest one, so that their pressures have a course in time; the total is kept. It moves settling
   times by less than 2e-5. */
#define RELAXATION_LENT 1e-3

typedef struct relaxation_question {
    const double *shape; /* corners, bump positive; scaled so that the largest travel is +1 */
    double amplitude;    /* m, bump of the wheel that moves most */
    bool parked;         /* from the parked standing, and bypasses of shut valves flow */
    int without;         /* an edge held tight; -1 for none */
    bool dry;            /* no heat comes from the walls: thermal air then acts as adiabatic */
    int samples;
    const double *sample; /* s, samples: rising, when the force is asked for */
    double *force;        /* N, samples: receives it */
    double tolerance;     /* of the integration; 0: CELLS_TOLERANCE */
} relaxation_question;

typedef struct relaxation_answer {
    problem problem; /* OK, or OFF_PROFILE with the spring that the step would run off its profile;
                        OVER_BUDGET; for parked: why there is no such standing */
    bool settles;    /* instant and end differ */
    double before;   /* N: v'F of the springs' air as it stood, the step's heights taken up */
    double instant;  /* N: the same, the step just made */
    double end;      /* N: once all has evened out, from what is conserved */
    double dry_end;  /* N: the same without heat from the walls; differs for thermal air only */
    double time_63;  /* s until the force has covered this share of its way for the first time; NAN
                        where nothing settles */
    double time_95;
    double mass_error; /* largest change of the air of a sealed group, in parts of it */
    ode_account account;
} relaxation_answer;

/* Answers for a solved state, without changing it. A step that cannot be made is in the answer's
   problem; the status is for want of memory only. */
BARONET_CHECKED baronet_status relaxation_solve(rates *r, const relaxation_question *question,
                                                relaxation_answer *out,
                                                const baronet_allocator *allocator);

#endif
