/* comfort.h: what a road does to a seat, to the suspension and to the tyres: weighted r.m.s.
   acceleration, r.m.s. travel and tyre load, from the linear answer of body, wheels and air at the
   swings that this road itself causes.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_COMFORT_H
#define STUDIES_COMFORT_H

#include "studies/coupled.h"
#include "studies/figures.h"

/* Road classes A to H. */
enum { COMFORT_CLASSES = 8 };

/* Displacement spectral density (m3) of a class at 0.1 cycle/m: geometric means of ISO 8608:2016,
   16e-6 for A and four times as much from each class to the next. */
double comfort_roughness(int class_index);
#define COMFORT_REFERENCE 0.1 /* cycle/m */
/* Waves that the standard's classes are for; it falls as the square of the wave number. */
#define COMFORT_LONGEST  0.011 /* cycle/m */
#define COMFORT_SHORTEST 2.83  /* cycle/m */
/* And frequencies beyond which neither people nor tyres are asked. */
#define COMFORT_LOWEST  0.1  /* Hz */
#define COMFORT_HIGHEST 80.0 /* Hz */

/* Frequency weighting W_k for vertical acceleration of a seated person, as a magnitude: the
   transfer functions of ISO 2631-1:1997 Annex A with the parameters of its table A.1. */
double comfort_weighting(double frequency);

/* How alike two parallel tracks are (share of the spectral density that they have in common) at a
   wave number (cycle/m) and distance (m): x K1(x), x = 2 pi n d, which is what a surface that is
   the same in all directions has when its tracks fall as 1/n2 (Dodds and Robson, J. Sound Vib. 31
   (1973) 175). 1 for long waves, 0 for short ones. */
double comfort_coherence(double wave_number, double distance);

typedef struct comfort_road {
    int class_index; /* 0 for A */
    double speed;    /* m/s */
} comfort_road;

typedef struct comfort_answer {
    comfort_road road;
    bool seat_given;
    double seat_x, seat_y;  /* m; over the centre of gravity where not given */
    double comfort;         /* m/s2, weighted r.m.s. over the seat point */
    double plain;           /* m/s2, the same without weighting */
    double *corner_comfort; /* m/s2, weighted, of the body over each wheel */
    double *travel;         /* m r.m.s., wheels */
    double *tyre;           /* N r.m.s., wheels; NAN where there is no tyre */
    double *tyre_part;      /* of the load that a scale shows */
    double from, to;        /* Hz: range of the sum */
    int points;
    int stop; /* a wheel whose travel reaches a stop at three times its r.m.s. value; -1: none */
    swing_account account; /* below vacuum: where three r.m.s. swings of a pressure pass it */
} comfort_answer;

/* How closely paths are to agree with the swings that they lead to. */
#define COMFORT_TOLERANCE 1e-5
/* Points of the sum, equally spaced in the logarithm of frequency; doubling them changes no figure
   of the demonstrations by more than 1e-3. */
enum { COMFORT_POINTS = 240 };
/* A system of more unknowns than this iterates its paths on fewer of them, which moves figures by
   less than 1e-2. */
enum { COMFORT_LARGE = 1000, COMFORT_FEWER = 48 };

/* Room for answers of a vehicle, and the system it is asked of. */
typedef struct comfort comfort;

BARONET_CHECKED baronet_status comfort_create(comfort **out, rates *r,
                                              const baronet_allocator *allocator);
void comfort_destroy(comfort *c);

/* Answers for one road. Wheels of one side follow one another with the delay of their distance over
   the speed; tracks beside one another are alike as comfort_coherence says. Each path has the
   conductance that loses the same in a random swing as its law does (statistical linearisation:
   Booton 1954; Caughey, J. Acoust. Soc. Am. 35 (1963) 1706): the mean of its first-harmonic
   conductances over amplitudes that are Rayleigh's, weighted with their square. The arrays belong
   to the study and hold until the next answer. SINGULAR. */
BARONET_CHECKED baronet_status comfort_solve(comfort *c, comfort_road road, comfort_answer *out);

/* Whether each answer takes seconds. */
bool comfort_is_large(const comfort *c);

/* Comfort over the seat point, and over each corner. */
void comfort_figures(figure_list *list, const model *m, const comfort_answer *answer);

/* The mean that comfort_solve takes of an edge's conductances at an r.m.s. difference (Pa). */
double comfort_conductance(const airnet *n, int edge_index, double rms);

#endif
