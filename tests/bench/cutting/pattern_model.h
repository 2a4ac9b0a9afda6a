/* A workshop problem as one integer program of all its patterns, for a general solver.
 *
 * A column for every way to cut a multiset of pieces from one bar, whole lengths bought and offcuts alike, with its exact
 * net cost; a row for each piece (cut as often as wanted) and for each bar of limited quantity. Of the same pieces cut from
 * several unlimited bars only the cheapest is kept, and none from a limited bar that costs as much. Equal bars and equal
 * pieces so leave no symmetry behind, and no remainder needs a variable of its own.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_BENCH_PATTERN_MODEL_H
#define ELLWAND_BENCH_PATTERN_MODEL_H

#include "cutting/problem.h"

struct pattern_model {
    size_t rows, columns, entries;
    size_t column_room, entry_room;
    int *start; /* columns + 1: where the entries of each begin */
    int *row;
    double *value;
    double *cost; /* tenths, whole numbers */
    double *most; /* of each column */
    double *row_least, *row_most;
};

/* Columns that a model may have: beyond, no solver is asked. */
enum { PATTERN_COLUMNS_MOST = 1000000 };

/* For problems without tail clamp, joins, batches, limits of the saw or of places on the rack, and with a bar of unlimited
 * quantity. The caller frees it by pattern_model_free. False, and nothing to free: too many columns, or no memory. */
bool pattern_model_make(const struct cutting_problem *problem, struct pattern_model *model) MUST_CHECK;
void pattern_model_free(struct pattern_model *model);

struct mip_answer {
    bool proven, has_plan;
    double cost, bound; /* tenths; cost means something with has_plan */
};

/* CBC as it comes, one thread, for at most `seconds` as it counts them (less of processor time
 * where the machine is busy); a limit reached is no failure. */
void pattern_model_solve(const struct pattern_model *model, double seconds, struct mip_answer *answer);

#endif
