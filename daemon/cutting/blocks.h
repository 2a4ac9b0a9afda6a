/* Bars that are cut alike stand together: one set-up of the saw, sawn as many at once as it takes.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_BLOCKS_H
#define ELLWAND_CUTTING_BLOCKS_H

#include "cutting/plan.h"

/* Puts the pieces of each run of the plan longest first, so that equal stops come in one order, and numbers the blocks:
 * runs of the same length of bar, squared or not, with the same lengths of pieces. block: one number a run, from 0;
 * *count: how many. False for want of memory. */
bool blocks_find(const struct cutting_problem *problem, struct cutting_plan *plan, size_t *block,
                 size_t *count) MUST_CHECK;

/* Of `count` bars cut alike: how often the saw is loaded. */
static inline int64_t blocks_loads(const struct cutting_problem *problem, int64_t count) {
    int64_t gang = problem->gang > 1 ? problem->gang : 1;
    return count / gang + (count % gang > 0);
}

#endif
