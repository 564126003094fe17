/* build.h: checked statements become the model. All statements have been read by now, so that names
   may be used before they are defined. What cannot be built is complained of and left at zero: a
   model is only handed out where nothing was complained of.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_BUILD_H
#define NETLIST_BUILD_H

#include "netlist/parser.h"
#include "netlist/suggestion.h"

typedef struct build {
    reading *r;
    model *m;
    const entries *list;                /* by keyword */
    statement s;                        /* that is being built from */
    scratch scratch;                    /* of its attributes */
    const entry *next;                  /* to be read */
    const statement *corners, *springs; /* kept, since several look at them */
    corner *corner;                     /* wheels, then bench stands */
    int *bench; /* springs: the corner made for each on a bench, -1 for others */
    node *node;
    edge *edge;
    int *paths; /* nodes: how many end at each */
} build;

/* What `kv` and `cv` are times, to be Kv in m3/h, and the air inside a hose. */
#define KV_PER_CV      (1.0 / 1.156) /* IEC 60534-2-1 */
#define KV_PER_FLOW    3600.0        /* s/h */
#define QUARTER_PI     0.78539816339744830962
#define HOSE_AIR(path) (QUARTER_PI * (path).bore * (path).bore * (path).length)

/* Entries of tables that grow as the product of two counts (states by solenoids, motions and cases
   by corners). Far beyond any vehicle; keeps a small file from asking for all memory. */
#define BUILD_PRODUCT_MAX ((size_t)1 << 24)

/* In this order, each relying on those before it. */
void build_setting(build *b); /* about, ambient, gas, body */
void build_profiles(build *b);
void build_vehicle(build *b); /* corners, axles, springs, bars */
bool build_corners(build *b); /* its first part; false where nothing can stand on them */
void build_network(build *b); /* nodes, paths */
void build_plan(build *b);    /* states, charge, motions, cases */
void build_events(build *b);
void build_requirements(build *b);
void build_cautions(build *b); /* warns of what nothing is joined to */

/* Goes through the statements of one keyword: build_first, then build_next, until NULL. Each is
   read over the one before. */
const statement *build_first(build *b, keyword k);
const statement *build_next(build *b);

/* What a name stands for where `w` is wanted; NULL after a complaint at `at`. The name may be NULL:
   never met. Words of `ends`, unless NULL, would end the list that the name stands in. */
const entry *resolve(reading *r, want w, place at, const name *n, const grammar_keyword *ends);

/* Offers all names that would do. */
void resolve_offer(suggestion *s, want w);

/* The same as resolve for the value of a statement. */
const entry *build_reference(build *b, const statement *s, const value *v);

/* Its index in the model, -1 after a complaint. The atmosphere, `rest` and the motions of every
   vehicle are known here; `v` NULL gives what is usual: the atmosphere, the charge's state. */
int build_node(build *b, const statement *s, const value *v);
int build_state(build *b, const statement *s, const value *v);
int build_corner(build *b, const statement *s, const value *v);
int build_motion(build *b, const statement *s, const value *v);

/* A pressure against ambient, and absolute (Pa). */
double pressure_gauge(const model *m, const value *v);
double pressure_absolute(const model *m, const value *v);

/* Gauge pressure of an attribute, 0 where not given; complains where it is not above ambient. */
double build_gauge(build *b, const statement *s, word w);

/* Absolute pressure of an attribute; complains where it is none. */
double build_absolute(build *b, const statement *s, word w);

#endif
