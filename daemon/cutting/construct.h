/* Whole plans, bar by bar: choose the bar and its fill that cost least for what they give, cut it as often as
 * it goes. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CONSTRUCT_H
#define ELLWAND_CUTTING_CONSTRUCT_H

#include "cutting/layout.h"
#include "cutting/watch.h"

enum construct_rule { CONSTRUCT_LONGEST, CONSTRUCT_LEAST_SLACK, CONSTRUCT_DEAREST };

struct construct {
    enum construct_rule rule;
    int64_t steps;        /* of each fill's search */
    const double *price;  /* CONSTRUCT_DEAREST: what each type is thought to cost */
    const int32_t *order; /* CONSTRUCT_DEAREST: types by price per width, best first */
};

/* Places what `residue` still wants, adding to `layout`, which is then settled and its `unmet` set. `parts`
 * is room for 2 * type_count parts. The watch counts the work, but a plan once begun is finished, after a cancel by the
 * quickest rule. */
void construct_layout(const struct model *model, const struct construct *how, struct residue *residue,
                      struct layout_part *parts, struct watch *watch, struct layout *layout);

/* Best-fit decreasing piece by piece: each piece goes where least is left. For up to CONSTRUCT_FIT_MOST
 * pieces; beyond that does nothing and leaves everything unmet. */
enum { CONSTRUCT_FIT_MOST = 20000 };
void construct_best_fit(const struct model *model, struct layout *layout);

/* Keeps in `best` the better of many passes that learn what each type costs (Mukhacheva 1993; Belov,
 * Scheithauer 2007). Ends at `target` or after `passes`. False for want of memory. */
bool construct_learning(const struct model *model, int64_t passes, int64_t target, struct watch *watch,
                        struct layout *best) MUST_CHECK;

/* The same passes, each plan shown to `look`, which may change it, and answers false when it has seen enough. */
bool construct_passes(const struct model *model, int64_t passes, struct watch *watch,
                      bool look(void *data, struct layout *layout), void *data) MUST_CHECK;

#endif
