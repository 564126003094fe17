/* fleet.c: see fleet.h.
   SPDX-License-Identifier: MIT */
#include "studies/fleet.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* What a coil carries where no spring helps it. */
#define ALONE(load, unsprung) ((load) - (unsprung)*9.80665)
/* Air of a hose. */
#define HOSE(bore, length) (0.25 * 3.14159265358979323846 * (bore) * (bore) * (length))

static const twin_corner van_corners[] = {
    {.name = "FL", .x = 1.37, .y = 0.83, .load = 6470.0, .unsprung = 47.0},
    {.name = "FR", .x = 1.35, .y = -0.80, .load = 6190.0, .unsprung = 45.0},
    {.name = "RL", .x = -1.52, .y = 0.78, .load = 7330.0, .unsprung = 58.0},
    {.name = "RR",
     .x = -1.54,
     .y = -0.75,
     .load = 6910.0,
     .unsprung = 61.0,
     .coil = 9300.0,
     .carries = 820.0}};

static const twin_spring van_springs[] = {
    {"fl", {{0, 0.91}}, 0.164, 0.0142, -0.031, 2.21e-3, 0.0, 0.0, 1900.0, 0.0},
    {"fr", {{1, 0.93}}, 0.166, 0.0139, -0.027, 2.17e-3, 0.0, 0.0, 0.0, 0.0},
    {"rl", {{2, 0.96}}, 0.172, 0.0171, -0.044, 2.83e-3, 0.0, 0.0, 0.0, 0.0},
    {"rr", {{3, 0.94}}, 0.169, 0.0168, -0.039, 2.71e-3, 0.0, 0.0, 2300.0, 0.0}};

static const twin_bar van_bars[] = {{0, 1, 4.1e4}, {3, 2, 1.9e4}};

#define VAN_BLOCK (3.5e-5 + HOSE(0.011, 0.63)) /* tee and hose at the rear left spring */

static const twin_state van_states[] = {
    {"apart",
     {{0, 1, 2, 3}, {1.9e-3, 0.0, 3.3e-3 + VAN_BLOCK, 4.1e-3}},
     true,
     {{0, 1, 2, 2}, {1.9e-3, 0.0, 7.4e-3 + VAN_BLOCK}}},
    {"linked", {{0, 1, 2, 2}, {1.9e-3, 0.0, 7.4e-3 + VAN_BLOCK}}, false, {{0}, {0.0}}},
    {"firm",
     {{0, 1, 2, 3}, {0.0, 0.0, VAN_BLOCK, 0.0}},
     true,
     {{0, 1, 2, 2}, {0.0, 0.0, VAN_BLOCK}}},
    {"paired", {{0, 0, 2, 2}, {1.9e-3, 0.0, 7.4e-3 + VAN_BLOCK}}, false, {{0}, {0.0}}}};

const twin fleet_van = {
    .ambient = 98700.0,
    .exponent = 1.36,
    .arm = 0.53,
    .wheels = COUNT(van_corners),
    .corner = van_corners,
    .springs = COUNT(van_springs),
    .spring = van_springs,
    .bars = COUNT(van_bars),
    .bar = van_bars,
    .states = COUNT(van_states),
    .state = van_states,
    .plumbing = "tank front-tank volume 1.9 L\n"
                "tank left-tank volume 3.3 L\n"
                "tank right-tank volume 4.1 L\n"
                "tee block volume 35 cm3\n"
                "hose neck from rl to block bore 11 mm length 0.63 m\n"
                "solenoid front-gate from fl to front-tank normally closed bore 8 mm\n"
                "solenoid left-gate from block to left-tank normally closed bore 9 mm\n"
                "solenoid right-gate from rr to right-tank normally closed bore 10 mm\n"
                "solenoid cross from block to rr normally closed kv 1.1 m3/h bypass 0.3 mm\n"
                "solenoid nose from fl to fr normally closed bore 6 mm\n"
                "state apart open front-gate left-gate right-gate\n"
                "state linked open front-gate left-gate right-gate cross\n"
                "state firm shut cross\n"
                "state paired open front-gate left-gate right-gate cross nose\n"
                "motion gateway FL +1 FR -0.9 RL -0.6 RR 0.7\n"
                "motion left FL 1 RL 1\n"};

static const twin_corner pickup_corners[] = {
    {"FL", 1.61, 0.79, 5830.0, 43.0, 2.11e5, 4.3e4, ALONE(5830.0, 43.0), 0.0, 0.0, 0.0, 0.0},
    {"FR", 1.61, -0.80, 5570.0, 43.0, 2.17e5, 4.1e4, ALONE(5570.0, 43.0), 0.0, 0.0, 0.0, 0.0},
    {"RL", -1.66, 0.76, 5390.0, 88.0, 2.29e5, 0.0, 0.0, 0.011, 1.7e5, 0.0, 0.0},
    {"RR", -1.69, -0.78, 5110.0, 85.0, 2.34e5, 0.0, 0.0, 0.0, 0.0, 0.029, 1.3e5}};

static const twin_spring pickup_springs[] = {
    {"left", {{2, 0.84}, {3, 0.14}}, 0.113, 0.0141, -0.108, 1.61e-3, 0.0, 0.0, 0.0, 0.0},
    {"right", {{3, 0.87}, {2, 0.17}}, 0.117, 0.0148, -0.093, 1.72e-3, 0.0, 0.0, 3100.0, 0.0}};

static const twin_bar pickup_bars[] = {{0, 1, 3.3e4}, {2, 3, 1.2e4}};

static const twin_state pickup_states[] = {
    {"split", {{0, 1}, {2.4e-3, HOSE(0.007, 1.9)}}, false, {{0}, {0.0}}},
    {"joined", {{0, 0}, {2.4e-3 + HOSE(0.007, 1.9)}}, false, {{0}, {0.0}}}};

const twin fleet_pickup = {.ambient = 101300.0,
                           .exponent = 1.4,
                           .arm = 0.47,
                           .wheels = COUNT(pickup_corners),
                           .corner = pickup_corners,
                           .springs = COUNT(pickup_springs),
                           .spring = pickup_springs,
                           .bars = COUNT(pickup_bars),
                           .bar = pickup_bars,
                           .states = COUNT(pickup_states),
                           .state = pickup_states,
                           .plumbing = "tank can volume 2.4 L\n"
                                       "restrictor choke from left to can bore 4 mm\n"
                                       "tee end\n"
                                       "solenoid valve from left to end normally closed bore 5 mm\n"
                                       "solenoid stop from end to far normally closed bore 5 mm\n"
                                       "tee far\n"
                                       "hose cross from far to right bore 7 mm length 1.9 m\n"
                                       "state split open valve\n"
                                       "state joined open valve stop\n"
                                       "motion kerb FL 1 RL 0.4 RR -0.1\n"};

static const twin_corner six_corners[] = {
    {"FL", 0.0, 1.02, 20300.0, 290.0, 7.9e5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
    {"FR", 0.0, -0.99, 19100.0, 295.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
    {"ML", -3.98, 1.01, 17800.0, 340.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
    {"MR", -4.01, -1.03, 17100.0, 345.0, 0.0, 5.1e4, 2100.0, 0.0, 0.0, 0.0, 0.0},
    {"RL", -5.27, 0.97, 9900.0, 210.0, 0.0, 9.7e4, ALONE(9900.0, 210.0), 0.0, 0.0, 0.0, 0.0},
    {"RR", -5.31, -0.98, 16300.0, 350.0, 7.4e5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0}};

static const twin_spring six_springs[] = {
    {"fl", {{0, 0.88}}, 0.231, 0.0379, -0.061, 0.0117, 0.0361, 1.7e-8, 0.0, 0.0},
    {"fr", {{1, 0.86}}, 0.229, 0.0371, -0.055, 0.0119, 0.0366, 2.1e-8, 0.0, 0.0},
    {"ml1", {{2, 0.97}}, 0.215, 0.0221, -0.049, 0.0061, 0.0, 0.0, 4100.0, 0.0},
    {"ml2", {{2, 0.83}}, 0.207, 0.0192, -0.037, 0.0053, 0.0, 0.0, 0.0, 0.0},
    {"mr", {{3, 0.95}}, 0.212, 0.0387, -0.044, 0.0081, 0.0, 0.0, 0.0, 0.0},
    {"rr", {{5, 0.98}}, 0.213, 0.0381, -0.051, 0.0083, 0.0373, 0.0, 0.0, 0.0}};

static const twin_bar six_bars[] = {{0, 1, 1.7e5}, {2, 3, 1.3e5}, {4, 5, 1.1e5}};

static const twin_state six_states[] = {
    {"apart",
     {{0, 1, 2, 3, 4, 5}, {5.1e-3, HOSE(0.012, 1.7), 0.0, 0.0, 0.0, 0.0}},
     true,
     {{0, 0, 2, 3, 4, 5}, {5.1e-3 + HOSE(0.012, 1.7)}}},
    {"shared",
     {{0, 1, 2, 3, 4, 4}, {5.1e-3, HOSE(0.012, 1.7), 0.0, 0.0, 3.9e-3}},
     true,
     {{0, 0, 2, 3, 4, 4}, {5.1e-3 + HOSE(0.012, 1.7), 0.0, 0.0, 0.0, 3.9e-3}}},
    {"across", {{0, 0, 2, 2, 2, 5}, {5.1e-3 + HOSE(0.012, 1.7)}}, false, {{0}, {0.0}}}};

const twin fleet_six = {
    .ambient = 87700.0,
    .exponent = 1.33,
    .arm = 0.91,
    .wheels = COUNT(six_corners),
    .corner = six_corners,
    .springs = COUNT(six_springs),
    .spring = six_springs,
    .bars = COUNT(six_bars),
    .bar = six_bars,
    .states = COUNT(six_states),
    .state = six_states,
    .plumbing =
        "tank front-tank volume 5.1 L\n"
        "restrictor choke from fl to front-tank sonic 2.1 L/s.bar critical 0.3\n"
        "tee pipe-end\n"
        "hose pipe from pipe-end to fr bore 12 mm length 1.7 m\n"
        "solenoid nose from front-tank to pipe-end normally closed cv 1.4 bypass kv 0.01 m3/h\n"
        "tank tail-tank volume 3.9 L pressure 5.2 bar\n"
        "solenoid right from mr to tail-tank normally closed bore 14 mm\n"
        "solenoid right-rear from tail-tank to rr normally closed bore 14 mm\n"
        "solenoid twin from ml1 to ml2 normally closed bore 9 mm\n"
        "solenoid middle from ml2 to mr normally closed bore 9 mm\n"
        "state apart shut right\n"
        "state shared open right right-rear\n"
        "state across open nose twin middle\n"
        "motion ledge ML 1 RL 0.6 FR -0.1\n"};

static const twin_corner trailer_corners[] = {
    {"TL", 0.03, 0.92, 6410.0, 55.0, 3.1e5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
    {"TR", 0.0, -0.87, 5720.0, 53.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0}};

static const twin_spring trailer_springs[] = {
    {"tl", {{0, 0.96}}, 0.131, 0.0137, -0.058, 2.23e-3, 0.0128, 2.3e-8, 0.0, 0.0},
    {"tr", {{1, 0.92}}, 0.127, 0.0143, -0.051, 2.31e-3, 0.0149, -1.1e-8, 0.0, 0.0}};

static const twin_bar trailer_bars[] = {{0, 1, 2.4e4}};

static const twin_state trailer_states[] = {
    {"road", {{0, 1}, {HOSE(0.008, 1.1), 0.0}}, true, {{0, 0}, {8.3e-3 + HOSE(0.008, 1.1)}}},
    {"gentle", {{0, 0}, {8.3e-3 + HOSE(0.008, 1.1)}}, false, {{0}, {0.0}}}};

const twin fleet_trailer = {
    .ambient = 100300.0,
    .exponent = 1.39,
    .arm = 0.71,
    .wheels = COUNT(trailer_corners),
    .corner = trailer_corners,
    .springs = COUNT(trailer_springs),
    .spring = trailer_springs,
    .bars = COUNT(trailer_bars),
    .bar = trailer_bars,
    .states = COUNT(trailer_states),
    .state = trailer_states,
    .plumbing = "tank shared volume 8.3 L pressure 3.9 bar\n"
                "hose neck from tl to mouth bore 8 mm length 1.1 m\n"
                "tee mouth\n"
                "solenoid left from mouth to shared normally closed bore 6 mm bypass 0.5 mm\n"
                "solenoid right from tr to shared normally closed bore 6 mm bypass sonic 0.01 "
                "L/s.bar critical 0.4\n"
                "state road shut left right\n"
                "state gentle open left right\n"
                "motion rut TL 1 TR -0.3\n"};

static const twin_corner quarter_corners[] = {
    {"Q", 0.4, -0.3, 4310.0, 41.0, 2.05e5, 7700.0, 610.0, 0.0, 0.0, 0.0, 0.0}};

static const twin_spring quarter_springs[] = {
    {"q", {{0, 0.78}}, 0.149, 0.0133, -0.022, 1.83e-3, 0.0, 0.0, 900.0, 0.0}};

static const twin_state quarter_states[] = {{"soft", {{0}, {2.9e-3}}, false, {{0}, {0.0}}},
                                            {"hard", {{0}, {0.0}}, true, {{0}, {2.9e-3}}}};

const twin fleet_quarter = {
    .ambient = 101325.0,
    .exponent = 1.4,
    .wheels = COUNT(quarter_corners),
    .corner = quarter_corners,
    .springs = COUNT(quarter_springs),
    .spring = quarter_springs,
    .states = COUNT(quarter_states),
    .state = quarter_states,
    .plumbing = "tank can volume 2.9 L\n"
                "solenoid gate from q to can normally closed bore 7 mm bypass 0.2 mm\n"
                "state soft open gate\n"
                "state hard shut gate\n"
                "motion up Q 1\n"};

static const twin_spring bench_springs[] = {
    {"a", {{0, 1.0}}, 0.163, 0.0121, -0.067, 1.93e-3, 0.0, 0.0, 2200.0, 6100.0},
    {"b", {{1, 1.0}}, 0.157, 0.0129, -0.052, 2.04e-3, 0.0, 0.0, 1300.0, 5900.0},
    {"c", {{2, 1.0}}, 0.151, 0.0117, -0.038, 1.77e-3, 0.0125, 0.0, 0.0, 4400.0}};

static const twin_state bench_states[] = {
    {"apart", {{0, 1, 2}, {0.0, 1.7e-3, 0.0}}, false, {{0}, {0.0}}},
    {"joined", {{0, 0, 2}, {1.7e-3}}, false, {{0}, {0.0}}}};

const twin fleet_bench = {.ambient = 99100.0,
                          .exponent = 1.31,
                          .springs = COUNT(bench_springs),
                          .spring = bench_springs,
                          .states = COUNT(bench_states),
                          .state = bench_states,
                          .plumbing = "tank can volume 1.7 L\n"
                                      "restrictor choke from b to can bore 3 mm\n"
                                      "solenoid link from a to b normally closed bore 3 mm\n"
                                      "state apart shut link\n"
                                      "state joined open link\n"};

const twin *const fleet[FLEET] = {&fleet_van,     &fleet_pickup,  &fleet_six,
                                  &fleet_trailer, &fleet_quarter, &fleet_bench};

/* Parts of each corner's load. */
static const double parts[FLEET_CASES][TWIN_CORNERS] = {{0.0},
                                                        {0.11, 0.03, 0.21, 0.05, 0.09, 0.02},
                                                        {-0.04, 0.06, 0.13, 0.19, 0.02, 0.12},
                                                        {0.02, -0.07, -0.05, 0.01, -0.03, -0.04}};

load_case fleet_case(const twin *t, int k, double *mass) {
    for (int c = 0; c < twin_corners(t); c++)
        mass[c] = parts[k][c] * (c < t->wheels ? t->corner[c].load : t->spring[c].load) / 9.80665;
    return (load_case){.name = "masses", .mass = mass};
}

void fleet_each(void (*check)(rig *r, const char *state)) {
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        for (int k = 0; k < fleet[i]->states; k++) {
            rig_answer(&r, fleet[i]->state[k].name, NULL);
            check(&r, fleet[i]->state[k].name);
        }
        rig_close(&r);
    }
}

void fleet_each_case(void (*check)(const twin *t, rig *r, const twin_state *state,
                                   const load_case *with)) {
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        for (int k = 0; k < fleet[i]->states * FLEET_CASES; k++) {
            double mass[TWIN_CORNERS];
            const load_case with = fleet_case(fleet[i], k % FLEET_CASES, mass);
            check(fleet[i], &r, &fleet[i]->state[k / FLEET_CASES], &with);
        }
        rig_close(&r);
    }
}
