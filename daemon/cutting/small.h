/* Branch and bound over a few thousand patterns at most, all of them columns of one linear program (small_lp.h). Bounds and what they
 * rule out are integers from the rounded prices, whatever the library's numbers are.
 *
 * Branches: how many bars of a class; whether two pieces lie together (Ryan, Foster 1981); whether a piece comes from a
 * class; how often a pattern is used. Of the most undecided ones, the one whose halves cost most is taken after a trial
 * of both (strong branching: Applegate, Bixby, Chvatal, Cook 1995).
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SMALL_H
#define ELLWAND_CUTTING_SMALL_H

#include "cutting/columns.h"

/* Whether the program of so many columns is small enough. */
bool small_enough(const struct model *model, size_t columns);

struct small_bounds {
    int64_t root;  /* by prices alone: with the certificate, where the engine wants one; INT64_MIN: none */
    int64_t bound; /* by the search: the target when it was complete; INT64_MIN when nothing came of it */
};

/* The columns hold every pattern that a plan cheaper than the engine's target could use, of which there has to be one.
 * Searches them and offers what it finds. */
void small_search(struct engine *engine, const struct columns *columns, struct small_bounds *bounds);

#endif
