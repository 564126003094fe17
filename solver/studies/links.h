/* links.h: what each cross-link does within a bend: the air that it lets from one corner to another
   takes away stiffness against roll, but only in its own time.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_LINKS_H
#define STUDIES_LINKS_H

#include "studies/paths.h"
#include "studies/relaxation.h"

/* When a link is looked at after a held step; the end of the bend is one more moment. */
enum { LINKS_MOMENTS = 6 };

typedef enum link_verdict {
    LINK_NOTHING,   /* what it does cannot be felt */
    LINK_TOO_SLOW,  /* little of it is there when the bend ends */
    LINK_PART_WAY,  /* some, but not most of it */
    LINK_EVENS_OUT, /* most of it is there before the bend ends */
    LINK_GONE       /* nearly all of it is there when the bend begins */
} link_verdict;

/* Of what a link does in the end, at least this much is "nearly all", "most", and less than the
   last is "little". Common practice, no source. */
#define LINK_NEARLY_ALL 0.8
#define LINK_MOST       0.63
#define LINK_LITTLE     0.2
/* A bend has begun after so long: common practice, no source. */
#define LINK_ONSET 0.5 /* s */
/* A link that takes less than this part of what a motion's air gives at once does nothing. */
#define LINK_FELT 0.05

/* Edges in a row that part the same springs. The step is run twice by the full laws, with the link
   and with it held tight; the difference is what it does. Heat from the walls is left out, since it
   would come and go with or without the link. */
typedef struct link_answer {
    int edges;
    int *edge;  /* the one that resists most first */
    bool shut;  /* a shut valve that passes a little: looked at from the parked standing */
    int course; /* the motion looked at: roll where it does anything there, else the one that it
                   carries most in */
    bool is_roll;
    double taken;                 /* N/m a wheel: what it takes from the rate in the end */
    double of_air;                /* the same as a part of what the springs' air gives at once */
    double moment[LINKS_MOMENTS]; /* s */
    double there[LINKS_MOMENTS];  /* part of it that is there by then */
    link_verdict verdict;
    problem problem; /* OK, or why it could not be looked at */
} link_answer;

/* Links that are looked at: each takes some runs. */
enum { LINKS_MOST = 16 };

typedef struct links_answer {
    int count;
    link_answer *link;
} links_answer;

/* Links of a solved state from its paths. Memory is the arena's. */
BARONET_CHECKED baronet_status links_solve(links_answer *out, arena *a, rates *r,
                                           const course_list *courses, const paths_answer *paths,
                                           const path_swing *swing, double amplitude, double bend,
                                           const baronet_allocator *allocator);

#endif
