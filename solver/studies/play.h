/* play.h: an event run in time on the full nonlinear system: a script of what happens when, from
   where a state stands.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_PLAY_H
#define STUDIES_PLAY_H

#include "studies/hold.h"
#include "studies/record.h"

/* How a run ended. */
typedef enum play_end {
    PLAY_FINISHED,    /* at the script's end */
    PLAY_OFF_PROFILE, /* spring: it left its table under pressure, or was squeezed flat */
    PLAY_NO_MASS,     /* corner: the script took more mass off than there is */
    PLAY_STUCK,       /* no step goes on */
    PLAY_STEPS,       /* the budget of steps is used up */
    PLAY_SWITCHES,    /* a condition switches on and off without end */
    PLAY_TIPPED       /* motion: the body leans further than PLAY_TIPPED_AT */
} play_end;

typedef enum play_note_kind {
    NOTE_ACTION,       /* action of the script */
    NOTE_FLAT,         /* spring: less than DYNAMICS_FLAT left in it */
    NOTE_SLACK,        /* spring below ambient: it does not pull */
    NOTE_OFF_TABLE,    /* flat spring outside its table */
    NOTE_LIFT,         /* wheel off the ground; on a rigid tyre: it would be */
    NOTE_BUMP_STOP,    /* corner */
    NOTE_REBOUND_STOP, /* corner */
    NOTE_PILOT,        /* edge told to open; amount: difference across it, Pa, less than it needs */
    NOTE_REVERSE,      /* edge, shut and one-way; amount: greatest difference from behind, Pa */
    NOTE_KINDS
} play_note_kind;

/* Something that happened; of what may happen again the first time. */
typedef struct play_note {
    play_note_kind kind;
    int item;
    double time; /* s */
    double amount;
} play_note;

enum { PLAY_NOTES = 400 };

/* A body that leans further comes down, and what follows is not what is told here. */
#define PLAY_TIPPED_AT 0.8 /* rad */

typedef struct play_settings {
    double tolerance; /* 0: DYNAMICS_TOLERANCE */
    long steps;       /* 0: play_step_budget */
    double drop;      /* m that a corner may fall before it is noted; 0: PLAY_DROP */
    int points;       /* rows of the series; 0: PLAY_POINTS */
    int stucks;
    const dynamics_stuck *stuck;
    int holes; /* open from the start, besides those of the script */
    const dynamics_hole *hole;
} play_settings;

/* Budgets are counts, since a budget of time would give another answer on another machine. Beyond
   so many unknowns a step costs so much more that fewer are allowed, in proportion: all runs are to
   end within a minute or two. */
#define PLAY_STEP_BUDGET   300000L
#define PLAY_WORK_BUDGET   300000000L /* steps times unknowns */
#define PLAY_SWITCH_BUDGET 2000
#define PLAY_POINTS        201
#define PLAY_DROP          25e-3 /* m */

/* Springs within this of where they end, or within 2 % of the farthest that they were from there,
   have settled. */
#define PLAY_NEAR 0.5e-3 /* m */
#define PLAY_PART 0.02
/* Below these speeds all is at rest. */
#define PLAY_REST_SPEED 1e-4 /* m/s, springs */
#define PLAY_REST_FLOW  1e-4 /* 1/s, of the air of any volume */

typedef struct play_answer {
    const baronet_allocator *allocator; /* what the answer itself is taken from */
    play_end end;
    int item;    /* of the end */
    double time; /* s: where it ended */
    dynamics *dynamics;
    record *record;
    int notes;
    bool notes_full;
    play_note note[PLAY_NOTES];
    double last_action; /* s: the last that was done, its ramp included */
    double settled;     /* s: from then on near the end; NAN where it is still on its way */
    bool at_rest;
    hold before, after;    /* at the start and the end */
    double air;            /* kg in all volumes at the start */
    double given, let_out; /* kg: from supplies, into the open (negative: drawn from there) */
    double heat, work;     /* J: from the walls, done by springs */
    double mass_error;     /* of all air, in parts of it */
    double energy_error;   /* of all energy that moved or is there, in parts of it */
    long steps, rates, factorings;
    long budget; /* of steps */
    int restarts;
} play_answer;

/* Runs a script from where the rates' state stands, which must have been solved. OUT_OF_MEMORY;
   else OK, however the run ended. Free in any case. */
BARONET_CHECKED baronet_status play_run(play_answer **out, rates *r, const double *design_travel,
                                        const script *s, const play_settings *with,
                                        const baronet_allocator *allocator);
void play_free(play_answer *answer);

/* The most steps of a run with so many unknowns. */
long play_step_budget(int unknowns);

/* Where the run ended, as a status. */
baronet_status play_status(play_end end);

#endif
