/* studies.h: the questions that can be asked of a netlist. Each gives an answer even where the
   vehicle has none in some state: the answer then says why, and its status tells.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_STUDIES_H
#define BARONET_STUDIES_H

#include "baronet/answer.h"
#include "baronet/netlist.h"
#include "baronet/units.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Told while a long answer is found: what is being looked at (a study, a state, an event), and that
   so many of `count` are done. */
typedef void baronet_progress(void *context, const char *study, int done, int count);

/* One thing that may change, in words: `left-tank.volume=1L..8L`, the name of a `let`, several
   names joined by `+`; a list of values, or a tolerance `+-5%`, in place of the bounds. */
typedef struct baronet_change {
    const char *said;
    const char *list; /* values given apart, `4mm,6mm,8mm`; NULL for none */
} baronet_change;

/* How to ask; zero-filled is every state of the base case, in metric units. */
typedef struct baronet_question {
    const char *state;     /* one valve state, NULL for all */
    const char *load_case; /* NULL or "" for the base case */
    const char *motion;    /* stroke, response: heave, roll, pitch, warp, one-wheel:CORNER or the
                              netlist's own; NULL: heave, or each bench spring by itself (stroke), all
                              of them (response) */
    const char *level;     /* stroke: instant, settled or parked; NULL: settled */
    bool all;              /* states: every combination of the solenoids */
    int points; /* rows of each curve; 0: 21 or so (stroke), 75 (response), 201 (play), 9, or 5 each
                   way where two things change (vary) */
    double swing_amplitude; /* m at the wheel that moves most; 0: 10 mm */
    double swing_frequency; /* Hz, where one figure serves several motions; 0: 1 Hz */
    double bend;            /* times: s that a bend lasts; 0: 3 s */
    double from, to;        /* response: range of frequencies, Hz; 0: 0.01 and 50 */
    bool road;              /* response: the body's answer to the road instead of the stiffness */
    const char *road_class; /* ride: "A" to "H" (ISO 8608); NULL: the netlist's, or C */
    double speed;           /* ride: m/s; 0: the netlist's, or 80 km/h */
    const char *event;      /* play: one event of the netlist; NULL: all of them */
    const char *plot; /* stroke, response, play, vary: what to draw in BARONET_TEXT too, such as
                         `left-air.height`, by its name in the series; NULL: nothing */
    double drop;      /* faults: m that a corner may go down; 0: 25 mm */
    long long date;   /* report: to be printed, in seconds since 1970 (UTC); 0: none */
    baronet_progress *progress; /* called before each study (report), state (times,
                                   response, ride) or event (play); NULL: not */
    void *progress_context;
    const char *show; /* draw: bores, pressures or both with a comma between; NULL: names alone */
    baronet_unit_system units;
    /* vary, size, spread */
    const baronet_change *change; /* changes */
    int changes;
    const char *const *wish; /* wishes: figures in words, with what is wanted of them where that is
                                asked; none: what the netlist requires */
    int wishes;
    bool by_ratio;           /* vary: steps of equal ratio */
    int share, shares;       /* vary, spread: share 3 of 16, for the series alone; 0: all */
    long runs;               /* spread: how many; 0: 1000 */
    unsigned long long seed; /* spread */
    int workers;             /* processors; 0: all. No answer depends on it */
    /* Told now and then what part of the work is done, from the caller's own thread; false ends it
       with what has been found so far. NULL for none. */
    bool (*go_on)(void *context, double part);
    void *go_on_context;
    baronet_diagnostics *said; /* receives what is wrong with the words; NULL: nobody is told */
} baronet_question;

/* A study: its command's name, and a function from a netlist to an answer. On BARONET_OK `*answer`
   is owned by the caller. BARONET_NO_SUCH_NAME for a state, case, motion or level that is not
   there, BARONET_BAD_USAGE for words that are wrong, BARONET_TOO_MANY, BARONET_OUT_OF_MEMORY;
   `*what` (may be NULL) then receives the name or a hint, and lives as long as the question or the
   netlist. */
typedef baronet_status baronet_study(const baronet_netlist *netlist,
                                     const baronet_question *question, baronet_answer **answer,
                                     const char **what);

/* Is the netlist sound, what is in it, are its requirements met. */
BARONET_API BARONET_CHECKED baronet_study baronet_check;
/* Pressures, heights, stiffness, motion rates, ride frequencies, roll gradient and balance. */
BARONET_API BARONET_CHECKED baronet_study baronet_rates;
/* Load, pressure and rate over the whole travel. */
BARONET_API BARONET_CHECKED baronet_study baronet_stroke;
/* Which paths are in play at ride frequency, how soon each motion softens after a held step, what a
   cross-link does within a bend, and the time constants. */
BARONET_API BARONET_CHECKED baronet_study baronet_times;
/* Dynamic stiffness of each motion, and the body's answer to the road, against frequency. */
BARONET_API BARONET_CHECKED baronet_study baronet_response;
/* Events in time: what happens when, from the netlist's scripts, on the full nonlinear system. */
BARONET_API BARONET_CHECKED baronet_study baronet_play;
/* Each single failure in turn: what it does, the worst first. */
BARONET_API BARONET_CHECKED baronet_study baronet_faults;
/* The parts of the air system, like ones together: the highest pressure that each meets, the energy
   in the vessels, the solenoids' truth table and current. Looks at every state, case and event. */
BARONET_API BARONET_CHECKED baronet_study baronet_parts;
/* Ride modes with their damping, comfort and grip on a road, load and balance. */
BARONET_API BARONET_CHECKED baronet_study baronet_ride;
/* Figures against one value of the netlist or two, with how strongly each follows each. */
BARONET_API BARONET_CHECKED baronet_study baronet_vary;
/* Values at which figures are what is wanted of them; the answer also has the changed netlist. */
BARONET_API BARONET_CHECKED baronet_study baronet_size;
/* What part tolerances do to figures: percentiles, the worst, and which part matters most. */
BARONET_API BARONET_CHECKED baronet_study baronet_spread;
/* The valve-state table: states side by side, with what changes. */
BARONET_API BARONET_CHECKED baronet_study baronet_states;
/* All of it as one page in chapters, the answer first, with the netlist and how well it was solved.
 */
BARONET_API BARONET_CHECKED baronet_study baronet_report;

/* The plumbing in plan view, front up: as BARONET_SVG a drawing. */
BARONET_API BARONET_CHECKED baronet_study baronet_draw;

#ifdef __cplusplus
}
#endif

#endif
