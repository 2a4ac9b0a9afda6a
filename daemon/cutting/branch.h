/* The tree search that closes what the relaxation leaves open. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_BRANCH_H
#define ELLWAND_CUTTING_BRANCH_H

#include "cutting/relax.h"

/* Searches depth first from the root's relaxed solution until nothing better is left or the watch is over.
 * Returns a bound: no plan costs less; the best plan's cost when the search is complete. */
int64_t branch_search(struct engine *engine, const struct relaxed *root);

#endif
