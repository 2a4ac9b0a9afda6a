/* Among plans of equal cost, the one that asks least of people. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_TIDY_H
#define ELLWAND_CUTTING_TIDY_H

#include "cutting/layout.h"
#include "cutting/plan.h"
#include "cutting/watch.h"

/* Joins bars that are cut alike, so that each pattern stands once. False for want of memory. */
bool tidy_merge(struct layout *layout) MUST_CHECK;

/* Looks for a plan of the same cost with fewer remainders going back, then fewer patterns, by many passes that learn
 * prices; notes a plan of at most one bar more with fewer patterns as the offer. Fills the plan's efforts for set-ups and
 * remainders. False for want of memory. */
bool tidy_layout(const struct model *model, struct watch *watch, struct layout *layout,
                 struct cutting_plan *plan) MUST_CHECK;

#endif
