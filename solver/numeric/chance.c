#include "numeric/chance.h"

/* One step of SplitMix64: adds the golden ratio's odd number and mixes the bits. */
static unsigned long long mix(unsigned long long x) {
    x += 0x9E3779B97F4A7C15u;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
    return x ^ (x >> 31);
}

double chance_even(unsigned long long seed, unsigned long long row, unsigned long long column) {
    const unsigned long long bits = mix(mix(mix(seed) ^ row) ^ column);
    /* 53 bits, in the middle of their steps: never 0, never 1. */
    return ((double)(bits >> 11) + 0.5) * 0x1p-53;
}
