/* When stock is short: which pieces are cut, and what to buy for the rest.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SHORTAGE_H
#define ELLWAND_CUTTING_SHORTAGE_H

#include "cutting/model.h"
#include "cutting/plan.h"
#include "cutting/watch.h"

/* Why not one more of each line can be cut, in order of urgency: one for each line that is not cut whole. */
struct shortage {
    struct cutting_unmet *lines;
    bool *free; /* of each: its proof holds whatever the batches */
    size_t count;
};
void shortage_free(struct shortage *shortage);

/* `wanted`, one number a line of pieces: on entry what could be cut were there stock enough, on return what
 * is to be cut. Lines are taken in order of urgency, each as far as it still fits beside those before it. `batch_of`, one
 * number a line of pieces: NULL where batches do not matter; else pieces that must match do, and heuristics try these
 * first. `bar_batch`: one number a line of bars, with batch_of. `shortage`: empty before; the proofs. */
bool shortage_choose(const struct cutting_problem *problem, const int32_t *batch_of, const int32_t *bar_batch,
                     int64_t *wanted, struct watch *watch, struct shortage *shortage,
                     struct fault *fault) MUST_CHECK;

/* Adds to the plan which bars to buy for its unmet pieces, chosen for least cost. */
bool shortage_buy(const struct cutting_problem *problem, struct watch *watch, struct cutting_plan *plan,
                  struct fault *fault) MUST_CHECK;

#endif
