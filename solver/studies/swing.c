#include "studies/swing.h"

#include <math.h>

void swing_join(swing_account *all, const swing_account *one) {
    all->iterations = one->iterations > all->iterations ? one->iterations : all->iterations;
    all->residual = fmax(all->residual, one->residual);
    all->linear = fmax(all->linear, one->linear);
    all->condition = fmax(all->condition, one->condition);
    all->unsettled = all->unsettled || one->unsettled;
    all->below_vacuum = all->below_vacuum || one->below_vacuum;
}
