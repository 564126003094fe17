#include "numeric/crew.h"

#ifdef _OPENMP
#include <omp.h>
#endif

/* Without OpenMP there is one worker, and the same answers. */
int crew_size(void) {
#ifdef _OPENMP
    return omp_get_max_threads();
#else
    return 1;
#endif
}

#ifdef _OPENMP
/* A thing may take a thousand times longer than another, so they are fetched when a worker is free.
 */
static void share(int workers, long first, long count, int grain, crew_work *work, void *context) {
#pragma omp parallel for schedule(dynamic, grain) num_threads(workers)
    for (long k = 0; k < count; k++) {
        work(context, omp_get_thread_num(), first + k);
    }
}
#else
static void share(int workers, long first, long count, int grain, crew_work *work, void *context) {
    (void)workers, (void)grain;
    for (long k = 0; k < count; k++) {
        work(context, 0, first + k);
    }
}
#endif

void crew_do(int workers, long first, long count, int grain, crew_work *work, void *context) {
    if (workers > 1 && count > 1) {
        share(workers, first, count, grain, work, context);
        return;
    }
    for (long k = 0; k < count; k++) {
        work(context, 0, first + k);
    }
}
