/* SPDX-License-Identifier: MIT */
#include "base/sets.h"

void sets_start(int *set, int count) {
    for (int i = 0; i < count; i++)
        set[i] = i;
}

/* Halves the path on the way (Tarjan and van Leeuwen 1984). */
int sets_find(int *set, int thing) {
    while (set[thing] != thing) {
        set[thing] = set[set[thing]];
        thing = set[thing];
    }
    return thing;
}

void sets_join(int *set, int one, int other) {
    const int a = sets_find(set, one), b = sets_find(set, other);
    if (a < b)
        set[b] = a;
    else
        set[a] = b;
}
