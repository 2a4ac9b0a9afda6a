/* A workshop's day made from a seed. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_BENCH_WORKSHOP_H
#define ELLWAND_BENCH_WORKSHOP_H

#include "cutting/problem.h"

/* One system in one finish: three bar lengths, `offcuts` single ones, the pieces of `windows` windows, some
 * in two parts; kerf 2.2 mm, trim 10 mm, remainders of 600 mm and more go back at `percent` of their value.
 * The caller frees it. */
bool workshop_group(uint64_t seed, int windows, int offcuts, int percent, struct cutting_problem *problem);

/* A problem that differs from its neighbours in more: from a third of `windows` and `offcuts` up to all of them, some pieces
 * twice; 2 or 3 bar lengths, not all at one price per length; remainders worth 50 to 95 %. The caller frees it. */
bool workshop_problem(uint64_t seed, int windows, int offcuts, struct cutting_problem *problem);

/* Either as a document, for the checker. NULL for want of memory. */
json_t *workshop_document(const struct cutting_problem *problem);

uint64_t workshop_random(uint64_t *state);
int64_t workshop_between(uint64_t *state, int64_t least, int64_t most);

#endif
