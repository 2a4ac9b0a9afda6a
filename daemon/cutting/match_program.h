/* The program in whole numbers over patterns and choices of batches. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_MATCH_PROGRAM_H
#define ELLWAND_CUTTING_MATCH_PROGRAM_H

#include "cutting/enumerate.h"
#include "cutting/match_wide.h"

/* `list` holds every pattern of the wide model that a plan cheaper than the engine's target could use. Looks for the
 * cheapest such plan; where *found, the groups of `batches` have its choice (spread), and `layout` (empty before; the
 * caller frees it) is settled for the model of the wish {wanted, of_piece, of_bar}. *bound: no plan costs less than this,
 * or than the target where that is lower. False for want of memory. */
bool match_program(struct engine *engine, const struct wide *wide, const struct choice_list *list,
                   int64_t floor, const struct cutting_problem *problem, const int64_t *wanted,
                   struct batches *batches, int64_t *bound, bool *found, struct layout *layout) MUST_CHECK;

#endif
