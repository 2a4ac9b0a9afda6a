/* Pieces that must match come from one finish batch: which batch each group of them takes.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_BATCHES_H
#define ELLWAND_CUTTING_BATCHES_H

#include "cutting/plan.h"
#include "cutting/watch.h"

struct batches {
    size_t batch_count, group_count, piece_count;
    int32_t *of_bar;   /* batch of each line of bars */
    int32_t *group_of; /* group of each line of pieces, -1: none */
    int32_t *chosen;   /* batch of each group */
    int32_t *kept;     /* the best choice so far, see batches_keep */
    int32_t *of_piece; /* batch of each line of pieces as its group chose, -1: any */
};

/* Groups of one piece are none. False for want of memory; batches_free also after failure. */
bool batches_make(const struct cutting_problem *problem, const int64_t *wanted,
                  struct batches *batches) MUST_CHECK;
void batches_free(struct batches *batches);

/* Whether the plan already takes each group from one batch. */
bool batches_kept(const struct batches *batches, const struct cutting_plan *plan);

/* Chooses a batch for each group, led by where the plan cuts it, so that everything can be cut at little cost as far as
 * heuristics tell; fills of_piece. */
bool batches_choose(const struct cutting_problem *problem, const int64_t *wanted,
                    const struct cutting_plan *plan, struct watch *watch, struct batches *batches,
                    struct fault *fault) MUST_CHECK;

/* Fills of_piece from the choice. */
void batches_spread(struct batches *batches);
/* Remembers the choice; takes the one remembered again, and spreads it. */
void batches_keep(struct batches *batches);
void batches_restore(struct batches *batches);

#endif
