/* SPDX-License-Identifier: MIT */
#include "model/flow.h"

#include <assert.h>
#include <math.h>

#include "base/numbers.h"
#include "model/atmosphere.h"
#include "model/friction.h"
#include "model/gas.h"

/* Restrictors: the flow is  q = K p1 psi(y),  y = (p1 - p2)/(p1 x)  where x is the drop, in parts
   of the upstream pressure, at which the law chokes; psi rises from 0 to 1 at y = 1 and stays
   there. Each law is its own K, x and psi. */

typedef struct curve {
    double value, slope; /* psi and its change with y */
} curve;

typedef struct orifice {
    double choked; /* K, kg/(s Pa) */
    double drop;   /* x, dimensionless */
    double zone;   /* of y: linear below */
    curve (*shape)(double y);
} orifice;

/* Choking of an ideal nozzle, NACA Report 1135 (1953), equations 44 and 45: with gamma = 1.4 the
   pressure ratio is (5/6)^3.5. The flux sqrt(gamma) (5/6)^3 is in parts of p1/sqrt(R T). */
#define NOZZLE_RATIO 0.52828178771717
#define NOZZLE_FLUX  0.68473145637727

/* Isentropic nozzle (Saint-Venant and Wantzel), its flux in parts of the choked one:
   psi^2 NOZZLE_FLUX^2 = 2 gamma/(gamma - 1) [r^(2/gamma) - r^((gamma + 1)/gamma)], r = p2/p1. In
   the temperature ratio u = r^(2/7) that is 7 u^5 (1 - u); 1 - u is kept, for it is small near y =
   0. */
static curve nozzle(double y) {
    const double x = (1.0 - NOZZLE_RATIO) * y;
    const double fall = -expm1(log1p(-x) * (2.0 / 7.0));
    const double u = 1.0 - fall;
    const double u_5 = u * u * u * u * u;
    const double flux = sqrt(7.0 * u_5 * fall);
    return (curve){.value = flux / NOZZLE_FLUX,
                   .slope = u_5 * (1.0 - 6.0 * fall) * (1.0 - NOZZLE_RATIO) /
                            ((1.0 - x) * flux * NOZZLE_FLUX)};
}

static orifice bore_orifice(const law *l, double T) {
    return (orifice){.choked =
                         l->discharge * circle_area(l->bore) * NOZZLE_FLUX / sqrt(GAS_CONSTANT * T),
                     .drop = 1.0 - NOZZLE_RATIO,
                     .shape = nozzle};
}

/* ISO 6358-1:2013, subsonic flow: psi^2 = 1 - [(r - b)/(1 - b)]^2, which is y (2 - y). */
static curve ellipse(double y) {
    const double value = sqrt(y * (2.0 - y));
    return (curve){.value = value, .slope = (1.0 - y) / value};
}

/* ISO 6358-1:2013, choked flow: q = C p1 rho0 sqrt(T0/T1), with the standard's own reference air.
 */
static orifice sonic_orifice(const law *l, double T) {
    const double rho_0 = 1.185, T_0 = 293.15; /* kg/m3, K */
    return (orifice){.choked = l->conductance * rho_0 * sqrt(T_0 / T),
                     .drop = 1.0 - l->critical,
                     .shape = ellipse};
}

/* IEC 60534-2-1:2011, expansion factor Y = 1 - x/(3 xT): psi = Y sqrt(x/xT), over its 2/3 at xT. */
static curve expansion(double y) {
    const double root = sqrt(y);
    return (curve){.value = (1.5 - 0.5 * y) * root, .slope = 0.75 * (1.0 - y) / root};
}

/* IEC 60534-2-1:2011 without fitting factors and for air (its gamma factor is 1):
   W [kg/h] = 31.6 Kv Y sqrt(x p1 [bar] rho1), choked from x = xT on. */
static orifice kv_orifice(const law *l, double T) {
    const double per_bar = 1e-5, per_hour = 1.0 / 3600.0;
    return (orifice){.choked = 31.6 * per_hour * l->kv * (2.0 / 3.0) *
                               sqrt(l->xt * per_bar / (GAS_CONSTANT * T)),
                     .drop = l->xt,
                     .shape = expansion};
}

/* psi rises with sqrt(y) from 0, so that its slope there is infinite. Within the zone it is the odd
   cubic that meets it in value and slope: a y + b y^3, which rises too. */
static curve with_finite_slope(const orifice *o, double y) {
    if (y >= o->zone) {
        return o->shape(y);
    }
    const curve edge = o->shape(o->zone);
    const double chord = edge.value / o->zone;
    const double a = 0.5 * (3.0 * chord - edge.slope);
    const double bend = 0.5 * (edge.slope - chord) * (y / o->zone) * (y / o->zone);
    return (curve){.value = (a + bend) * y, .slope = a + 3.0 * bend};
}

static flow orifice_flow(const law *l, orifice o, double p_1, double p_2) {
    const double widest = 0.5;
    o.zone = l->zone > 0.0 ? fmin(l->zone / (p_1 * o.drop), widest) : FLOW_LINEAR;
    const double x = (p_1 - p_2) / p_1;
    if (x >= o.drop) {
        return (flow){.mass = o.choked * p_1, .by_first = o.choked, .choked = true};
    }
    const curve psi = with_finite_slope(&o, x / o.drop);
    const double by_drop = psi.slope / o.drop;
    return (flow){.mass = o.choked * p_1 * psi.value,
                  .by_first = o.choked * (psi.value + (1.0 - x) * by_drop),
                  .by_second = -o.choked * by_drop};
}

static flow bore_flow(const law *l, flow_side from, double p_2, double *reynolds) {
    (void)reynolds;
    return orifice_flow(l, bore_orifice(l, from.temperature), from.pressure, p_2);
}

static flow sonic_flow(const law *l, flow_side from, double p_2, double *reynolds) {
    (void)reynolds;
    return orifice_flow(l, sonic_orifice(l, from.temperature), from.pressure, p_2);
}

static flow kv_flow(const law *l, flow_side from, double p_2, double *reynolds) {
    (void)reynolds;
    return orifice_flow(l, kv_orifice(l, from.temperature), from.pressure, p_2);
}

/* Hoses: isothermal flow of an ideal gas (Coulson and Richardson, Chemical Engineering vol. 1,
   ch. 4), its entry and exit taken as velocity heads:
       p1^2 - p2^2 = (q/a)^2 R T [f L/D + heads + 2 ln(p1/p2)],
   the last term being what the air's acceleration along the hose takes. With q/a = Re mu/D it is
       S = Re^2 [f(Re) L/D + heads + 2 ln(p1/p2)],  S = (p1^2 - p2^2) D^2/(mu^2 R T). */

typedef struct resistance {
    double slenderness; /* L/D */
    double roughness;   /* in parts of the bore */
    double heads;       /* all that does not change with the flow */
    double inlet;       /* of a choked hose: the limit of p1, a Reynolds number; else 0 */
} resistance;

typedef struct drag {
    double value, slope; /* S and dS/dRe */
} drag;

/* At the limit p2 goes with Re, so that p1/p2 is inlet/Re. */
static drag drag_at(const resistance *r, double reynolds) {
    const friction f = friction_at(reynolds, r->roughness);
    const double pipe = f.factor * r->slenderness;
    const bool choked = r->inlet > 0.0;
    const double heads = r->heads + (choked ? 2.0 * log(r->inlet / reynolds) : 0.0);
    return (drag){.value = reynolds * reynolds * (pipe + heads),
                  .slope =
                      reynolds * (pipe * (2.0 + f.slope) + 2.0 * heads - (choked ? 2.0 : 0.0))};
}

/* Changes of ln(Re) below this are the last: Newton's next error is its square times a curvature of
   at most about ten, so Re is good to 1e-15, and the slope to 1e-7. At ten times that the energy
   of an event closes to 3e-12 only. */
#define HOSE_STEP 1e-8
/* Over lengths of 2 to 10000 bores, smooth and rough, no hose took more than 7 steps; bisection
   alone would end in so many. */
#define HOSE_STEPS 40

/* Up to here friction is laminar but for 5e-8, and up to there nearly so: the flow with 64/Re
   starts the search best. */
#define HOSE_LAMINAR        1500.0
#define HOSE_NEARLY_LAMINAR 2000.0

/* Where to start between the two: at `near` where one is known. */
static double first_reynolds(const resistance *r, double S, double low, double high, double near) {
    const double end = near > 0.0 ? HOSE_LAMINAR : HOSE_NEARLY_LAMINAR;
    if (high <= end && r->inlet <= 0.0) {
        return high;
    }
    const double usual_friction = 0.02;
    const double usual = near > 0.0 ? near : sqrt(S / (usual_friction * r->slenderness + r->heads));
    return fmin(fmax(usual, low), high);
}

/* The Reynolds number that belongs to S, looked for from `near` on, and in `*slope` dS/dRe there.
   Laminar flow has a closed form. Beyond it, Newton's method on the logarithms, where the slope
   lies between 0.5 and 4 through the transition too, held in a bracket: Churchill's friction is
   nowhere below 64/Re, and the acceleration takes far less than a factor of four off a choked flow.
 */
static double solve_drag(const resistance *r, double S, double near, double *slope) {
    const double laminar = 64.0 * r->slenderness;
    const double highest = 2.0 * S / (laminar + sqrt(laminar * laminar + 4.0 * r->heads * S));
    if (highest <= FRICTION_LAMINAR && r->inlet <= 0.0) {
        *slope = laminar + 2.0 * r->heads * highest;
        return highest;
    }
    double low = 0.25 * fmin(FRICTION_LAMINAR, highest), high = highest;
    double reynolds = first_reynolds(r, S, low, high, near);
    for (int i = 0; i < HOSE_STEPS; i++) {
        const drag d = drag_at(r, reynolds);
        const double step = log(S / d.value) * d.value / (reynolds * d.slope);
        if (step > 0.0) {
            low = reynolds;
        } else {
            high = reynolds;
        }
        const double next = reynolds * exp(step);
        reynolds = next >= low && next <= high ? next : sqrt(low * high);
        *slope = d.slope;
        if (fabs(step) < HOSE_STEP) {
            break;
        }
    }
    return reynolds;
}

/* Over p2 the flow is greatest where the outlet's Mach number is 1/sqrt(gamma), which is
   q/a = p2/sqrt(R T). Putting that p2 into the equation gives the flow of all lower ones: it is
   that into a vacuum with one head more. */
static flow hose_flow(const law *l, flow_side from, double p_2, double *near) {
    const double mu = gas_viscosity(from.temperature);
    const double root_RT = sqrt(GAS_CONSTANT * from.temperature);
    const double scale = l->bore / (mu * root_RT); /* of pressure to Reynolds number, 1/Pa */
    const double p_1 = from.pressure;
    const double limit = scale * p_2; /* Reynolds number of the outlet's limit */
    resistance r = {.slenderness = l->length / l->bore,
                    .roughness = l->roughness / l->bore,
                    .heads = FLOW_HOSE_HEADS + l->fittings};
    assert(r.heads >= 0.0 && r.slenderness > 0.0);
    const double heads = r.heads;
    double S = scale * scale * (p_1 - p_2) * (p_1 + p_2);
    r.heads += limit > 0.0 ? 2.0 * log1p((p_1 - p_2) / p_2) : 0.0;
    /* The heads alone tell for most flows, without asking for the friction at the limit. */
    const bool choked =
        S > r.heads * limit * limit && (limit <= 0.0 || S > drag_at(&r, limit).value);
    if (choked) {
        r.heads = heads + 1.0;
        r.inlet = scale * p_1;
        S = r.inlet * r.inlet;
    }
    double slope;
    const double reynolds = solve_drag(&r, S, *near, &slope);
    *near = reynolds;
    const double per_reynolds = mu * circle_area(l->bore) / l->bore; /* kg/s */
    const double square = reynolds * reynolds;
    return (flow){.mass = per_reynolds * reynolds,
                  .by_first = 2.0 * per_reynolds * (scale * scale * p_1 - square / p_1) / slope,
                  .by_second =
                      choked ? 0.0
                             : -2.0 * per_reynolds * (scale * scale * p_2 - square / p_2) / slope,
                  .choked = choked};
}

static flow no_flow(const law *l, flow_side from, double p_2, double *reynolds) {
    (void)reynolds;
    (void)l;
    (void)from;
    (void)p_2;
    return (flow){0};
}

/* From a side to one of no higher pressure. */
static flow (*const downhill[])(const law *l, flow_side from, double p_2, double *reynolds) = {
    [LAW_NONE] = no_flow, [LAW_BORE] = bore_flow, [LAW_SONIC] = sonic_flow,
    [LAW_KV] = kv_flow,   [LAW_HOSE] = hose_flow,
};

flow flow_at_near(const law *l, flow_side first, flow_side second, double *reynolds) {
    if (first.pressure >= second.pressure) {
        return downhill[l->kind](l, first, second.pressure, reynolds);
    }
    const flow back = downhill[l->kind](l, second, first.pressure, reynolds);
    return (flow){.mass = -back.mass,
                  .by_first = -back.by_second,
                  .by_second = -back.by_first,
                  .choked = back.choked};
}

flow flow_at(const law *l, flow_side first, flow_side second) {
    double reynolds = 0.0;
    return flow_at_near(l, first, second, &reynolds);
}

/* Steps of a quarter period. With sin(wt) = sin^2(phi), the integral below has an integrand that is
   smooth in phi for every law that starts with a root of the difference, and the midpoint rule in
   phi then converges geometrically (Trefethen and Weideman, SIAM Review 56 (2014) 385). Twelve
   steps give 1e-7 for smooth laws, 5e-8 for linear ones, and 3e-4 where the swing just reaches a
   kink: choking, or the transition from laminar flow. */
enum { HARMONIC_STEPS = 12 };

/* Their midpoints' sin(wt), and what each counts for: 4/pi d(wt), with d(wt) = 2 sin(phi)/sqrt(1 +
   sin^2(phi)) dphi. The flow is then to be multiplied by sin(wt) still. */
static const double harmonic_sine[HARMONIC_STEPS] = {
    0.0042775693130947942, 0.038060233744356617, 0.10332332985438239, 0.19561928549563964,
    0.30865828381745508,   0.43473690388997416,  0.56526309611002556, 0.6913417161825447,
    0.80438071450436022,   0.89667667014561747,  0.96193976625564337, 0.99572243068690514};
static const double harmonic_part[HARMONIC_STEPS] = {
    0.02175456439906942, 0.063826817985107587, 0.10200619348823385, 0.13483049334448813,
    0.16188424515280767, 0.18348723856556254,  0.20031357814653583, 0.21311275657530468,
    0.22255916422675023, 0.22919230341311508,  0.23340483576085103, 0.23544952645465925};

/* Swings below this part of the pressure get the slope at no flow. The linear end of a wide hose is
   off by 1e-5 there, and so is the difference of two pressures by rounding. */
#define HARMONIC_LEAST 1e-11

/* (4/pi) integral of q(dP sin wt) sin wt over wt from 0 to pi/2, as q is odd, over dP. */
double flow_conductance(const law *l, double p, double T, double amplitude) {
    if (amplitude <= HARMONIC_LEAST * p) {
        const flow_side rest = {.pressure = p, .temperature = T};
        return flow_at(l, rest, rest).by_first;
    }
    double sum = 0.0, reynolds = 0.0;
    for (int i = 0; i < HARMONIC_STEPS; i++) {
        const double sine = harmonic_sine[i];
        const double half = 0.5 * amplitude * sine;
        /* Below a vacuum every law is choked: nothing is left that could change. */
        const flow q =
            flow_at_near(l, (flow_side){.pressure = p + half, .temperature = T},
                         (flow_side){.pressure = fmax(p - half, 0.0), .temperature = T}, &reynolds);
        sum += q.mass * sine * harmonic_part[i];
        reynolds *= i + 1 < HARMONIC_STEPS ? sqrt(harmonic_sine[i + 1] / sine) : 1.0;
    }
    return sum / amplitude;
}

/* Means that differ by less than this part of the pressure are equal: rounding of an equilibrium.
 */
#define EQUAL_MEANS 1e-7

double flow_conductance_between(const law *l, flow_side first, flow_side second, double amplitude) {
    const double offset = fabs(first.pressure - second.pressure);
    if (offset <= EQUAL_MEANS * first.pressure) {
        return flow_conductance(l, first.pressure, first.temperature, amplitude);
    }
    if (amplitude <= HARMONIC_LEAST * first.pressure) {
        const flow q = flow_at(l, first, second);
        return 0.5 * (q.by_first - q.by_second);
    }
    enum { STEPS = 64 }; /* midpoints over half a swing; the law's kinks lie between them */
    double sum = 0.0;
    for (int i = 0; i < STEPS; i++) {
        const double sine = sin(PI * ((i + 0.5) / STEPS - 0.5));
        const double half = 0.5 * amplitude * sine;
        first.pressure += half;
        second.pressure -= half;
        const flow q = flow_at(l, (flow_side){fmax(first.pressure, 0.0), first.temperature},
                               (flow_side){fmax(second.pressure, 0.0), second.temperature});
        sum += q.mass * sine;
        first.pressure -= half;
        second.pressure += half;
    }
    return 2.0 * sum / (STEPS * amplitude);
}

law flow_hose_part(const law *hose, double share) {
    law part = *hose;
    part.length = share * hose->length;
    part.fittings = share * (FLOW_HOSE_HEADS + hose->fittings) - FLOW_HOSE_HEADS;
    return part;
}
