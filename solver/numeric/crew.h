/* crew.h: the same work done on many things by several processors at once, through OpenMP.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_CREW_H
#define NUMERIC_CREW_H

/* Does the work on one thing; `worker` is below the number of workers, and a worker does one thing
   at a time. */
typedef void crew_work(void *context, int worker, long index);

/* Workers that can work at once on this machine: its processors, or fewer where the environment
   says so (OMP_NUM_THREADS). */
int crew_size(void);

/* Does the work on first, ..., first + count - 1, in no particular order, with so many workers (at
   least one), who fetch `grain` of them at a time. Who has which thing differs from run to run:
   what is done must not depend on it. */
void crew_do(int workers, long first, long count, int grain, crew_work *work, void *context);

#endif
