/* How many bars of an earlier plan a plan of no higher cost can keep: a program in whole numbers over every pattern that such
 * a plan could use, with the earlier bars beside them. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHANGE_MOST_H
#define ELLWAND_CUTTING_CHANGE_MOST_H

#include "cutting/plan.h"
#include "cutting/watch.h"

/* Earlier bars alike, with these lines of pieces: `count` of them. */
struct change_item {
    size_t bar; /* the line that would give it */
    bool named; /* only a bar of that line's kind does; else any of its length */
    const uint32_t *pieces;
    size_t piece_count;
    int64_t count;
};

static inline bool change_meets(const struct cutting_problem *problem, const struct change_item *item,
                                size_t line) {
    const struct cutting_bar *one = &problem->bars[line], *other = &problem->bars[item->bar];
    bool alike = one->value == other->value && one->squared == other->squared;
    return one->length == other->length && (alike || !item->named);
}

/* So many bars cut alike. */
struct change_cut {
    size_t bar; /* a line of the class that gives them */
    int64_t count;
    size_t item; /* that they are; SIZE_MAX: another pattern */
    size_t first,
        width_count; /* widths[first ..] of its pieces, length + kerf, widest first; none for an item */
};

struct change_most {
    int64_t bound; /* no plan of this cost keeps more; INT64_MAX: not known */
    bool found;    /* more than `least` can be kept, by these cuts */
    size_t cut_count, width_count;
    struct change_cut *cuts; /* owned */
    int64_t *widths;         /* owned */
};

/* Of plans that cut `cut` (one number a line of pieces) and cost no more than `cost`, one that keeps most of the items,
 * where that is more than `least`. Places on the rack must be without limit, batches are not looked at. fault
 * "out-of-memory"; change_most_free also after failure. */
bool change_most_search(const struct cutting_problem *problem, const int64_t *cut,
                        const struct change_item *items, size_t count, int64_t cost, int64_t least,
                        struct watch *watch, struct change_most *most, struct fault *fault) MUST_CHECK;
void change_most_free(struct change_most *most);

#endif
