/* What the parts of a least change share: the earlier bars, and which of them can be cut. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHANGE_WORK_H
#define ELLWAND_CUTTING_CHANGE_WORK_H

#include "cutting/change.h"

/* One bar of the earlier plan. */
struct change_held {
    const struct cutting_earlier *earlier;
    size_t bar; /* the line it can still come from; SIZE_MAX: it cannot be cut as it was */
    bool keep;
};

struct change_work {
    const struct cutting_problem *problem;
    change_solve *solve;
    struct watch *watch;
    struct cutting_plan *plan;
    struct fault *fault;
    int64_t *cut; /* of each line of pieces, by the plan */
    struct change_held *held;
    size_t count;
    int64_t until;        /* steps of the watch at which trials end */
    bool refuted, failed; /* refuted: the last trial is proven to cost more */
};

static inline const uint32_t *change_pieces_of(const struct cutting_problem *problem,
                                               const struct change_held *held) {
    return problem->previous_pieces + held->earlier->first;
}

/* Sum of the lengths of `count` lines of pieces. */
ell_length change_length_of(const struct cutting_problem *problem, const uint32_t *pieces, size_t count);

/* Finds which of the earlier bars can still be cut, given what the plan cuts and what bars there are: as many together as
 * in turn can, then those that could instead of others; fills held, count and the plan's "possible". False for want of
 * memory. */
bool change_gather(struct change_work *work) MUST_CHECK;

/* Whether there are pieces and bars for all that are to be kept. False for want of memory too: `failed` is then set. */
bool change_there_for_all(struct change_work *work) MUST_CHECK;

#endif
