/* script.h: an event in time: what happens when. Read from the netlist, run by a study.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_SCRIPT_H
#define MODEL_SCRIPT_H

#include <stdbool.h>

typedef enum action_kind {
    ACTION_LATERAL,     /* value m/s2, over */
    ACTION_BRAKING,     /* value m/s2, over */
    ACTION_BUMP,        /* item corner, value m, over */
    ACTION_STEP,        /* item motion of the user's own or a script_motion, value m */
    ACTION_LOAD,        /* item corner, value kg */
    ACTION_STATE,       /* item state */
    ACTION_OPEN,        /* item edge */
    ACTION_SHUT,        /* item edge */
    ACTION_BURST,       /* item node, value m: bore of the hole */
    ACTION_HOLD,        /* wheels held */
    ACTION_TEMPERATURE, /* value K, over */
    ACTION_SUPPLY_LOST, /* item node */
    ACTION_KINDS
} action_kind;

/* The motions that every vehicle has, as items of ACTION_STEP; the user's own count from 0. */
typedef enum script_motion {
    SCRIPT_HEAVE = -1,
    SCRIPT_ROLL = -2,
    SCRIPT_PITCH = -3,
    SCRIPT_WARP = -4
} script_motion;

/* `heave`, `roll`, `pitch` or `warp`. */
const char *script_motion_name(script_motion motion_item);

typedef enum trigger_kind { TRIGGER_TIME, TRIGGER_ABOVE, TRIGGER_BELOW } trigger_kind;

typedef struct action {
    trigger_kind trigger;
    double time;   /* s, TRIGGER_TIME */
    int watched;   /* spring whose height is watched */
    double height; /* m, threshold */
    action_kind kind;
    int item;
    double value;
    double over; /* s; 0: at once */
} action;

typedef struct script {
    const char *name;
    int state; /* index; the charge's state where none is named */
    int actions;
    const action *action; /* in order of the netlist */
    double until;         /* s */
} script;

#endif
