/* All patterns that a better plan could use. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_ENUMERATE_H
#define ELLWAND_CUTTING_ENUMERATE_H

#include "cutting/relax.h"

struct choice_list {
    int32_t *patterns; /* numbers in the pool */
    size_t count, room;
};

/* With the integer prices behind a bound, a pattern whose reduced cost is more than what lies between the
 * bound and the target is in no plan that costs less than the target. Lists all others, at most `most`. False
 * when there are more, or the watch is over; no_memory is then the engine's. The caller frees list->patterns.
 */
bool enumerate_patterns(struct engine *engine, const struct scope *scope, const struct relaxed *relaxed,
                        size_t most, struct choice_list *list);

#endif
