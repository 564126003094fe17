/* SPDX-License-Identifier: MIT */
#include "numeric/krylov.h"

#include <arpack/arpack.h>
#include <assert.h>
#include <stdbool.h>
#include <string.h>

/* Restarts after which it is given up. */
enum { KRYLOV_ITERATIONS = 1000 };

/* ARPACK's work space. */
typedef struct workspace {
    int kept; /* vectors of the subspace */
    int room; /* of `small` */
    double *start, *basis, *work, *small;
    int *select;
    int settings[11], places[14];
} workspace;

static bool take(workspace *w, const krylov *k, arena *a) {
    const int usual = 2 * k->wanted + 20;
    *w = (workspace){.kept = usual < k->size ? usual : k->size};
    w->room = 3 * w->kept * w->kept + 6 * w->kept; /* dnaupd; dsaupd needs less */
    w->start = ARENA_ARRAY(a, double, k->size);
    w->basis = ARENA_ARRAY(a, double, (size_t)k->size *(size_t)w->kept);
    w->work = ARENA_ARRAY(a, double, 3 * (size_t)k->size);
    w->small = ARENA_ARRAY(a, double, w->room);
    w->select = ARENA_ARRAY(a, int, w->kept);
    if (!arena_complete(a)) {
        return false;
    }
    memcpy(w->start, k->start, (size_t)k->size * sizeof *w->start);
    w->settings[0] = 1;
    w->settings[2] = KRYLOV_ITERATIONS;
    w->settings[6] = 1;
    return true;
}

/* Reverse communication until ARPACK has what it wants. */
static baronet_status iterate(workspace *w, const krylov *k, bool symmetric) {
    int state = 0, info = 1; /* our own start */
    for (;;) {
        if (symmetric) {
            dsaupd_c(&state, "I", k->size, "LA", k->wanted, k->tolerance, w->start, w->kept,
                     w->basis, k->size, w->settings, w->places, w->work, w->small, w->room, &info);
        } else {
            dnaupd_c(&state, "I", k->size, "LM", k->wanted, k->tolerance, w->start, w->kept,
                     w->basis, k->size, w->settings, w->places, w->work, w->small, w->room, &info);
        }
        if (state != 1 && state != -1) {
            return info == 0 ? BARONET_OK : BARONET_NOT_CONVERGED;
        }
        const baronet_status status =
            k->apply(k->context, w->work + w->places[0] - 1, w->work + w->places[1] - 1);
        if (status != BARONET_OK) {
            return status;
        }
    }
}

baronet_status krylov_symmetric(const krylov *k, arena *a, double *values, double *vectors) {
    assert(k->wanted > 0 && k->wanted < k->size);
    workspace w;
    if (!take(&w, k, a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status = iterate(&w, k, true);
    if (status != BARONET_OK) {
        return status;
    }
    int info = 0;
    dseupd_c(1, "A", w.select, values, w.basis, k->size, 0.0, "I", k->size, "LA", k->wanted,
             k->tolerance, w.start, w.kept, w.basis, k->size, w.settings, w.places, w.work, w.small,
             w.room, &info);
    memcpy(vectors, w.basis, (size_t)k->wanted * (size_t)k->size * sizeof *vectors);
    return info == 0 ? BARONET_OK : BARONET_NOT_CONVERGED;
}

/* A conjugate pair stands as real and imaginary part in two columns; each of the two gets its own
   vector. */
static void unpack(int size, int count, const double *real, const double *imaginary,
                   const double *columns, double *values, double *vectors) {
    for (int j = 0; j < count; j++) {
        const bool second = j > 0 && imaginary[j] < 0.0;
        const bool pair = imaginary[j] != 0.0;
        const double *re = columns + (size_t)(second ? j - 1 : j) * (size_t)size;
        const double *im = re + size;
        values[2 * j] = real[j];
        values[2 * j + 1] = imaginary[j];
        for (int i = 0; i < size; i++) {
            double *at = vectors + 2 * ((size_t)j * (size_t)size + (size_t)i);
            at[0] = re[i];
            at[1] = !pair ? 0.0 : (second ? -im[i] : im[i]);
        }
    }
}

baronet_status krylov_general(const krylov *k, arena *a, int *found, double *values,
                              double *vectors) {
    assert(k->wanted > 0 && k->wanted < k->size - 1);
    workspace w;
    const size_t most = (size_t)k->wanted + 1;
    double *const real = ARENA_ARRAY(a, double, most);
    double *const imaginary = ARENA_ARRAY(a, double, most);
    double *const columns = ARENA_ARRAY(a, double, (most + 1) * (size_t)k->size);
    if (!arena_complete(a) || !take(&w, k, a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    double *const room = ARENA_ARRAY(a, double, 3 * (size_t)w.kept);
    if (room == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status = iterate(&w, k, false);
    if (status != BARONET_OK) {
        return status;
    }
    int info = 0;
    dneupd_c(1, "A", w.select, real, imaginary, columns, k->size, 0.0, 0.0, room, "I", k->size,
             "LM", k->wanted, k->tolerance, w.start, w.kept, w.basis, k->size, w.settings, w.places,
             w.work, w.small, w.room, &info);
    *found = w.settings[4] < (int)most ? w.settings[4] : (int)most;
    unpack(k->size, *found, real, imaginary, columns, values, vectors);
    return info == 0 ? BARONET_OK : BARONET_NOT_CONVERGED;
}
