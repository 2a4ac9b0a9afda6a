/* A program in whole numbers whose columns are all known: minimise cost x, least <= A x <= most, 0 <= x <= limit.
 *
 * Searched by branch and bound over its linear relaxation (Land, Doig 1960). Every bound is worked out in integers from
 * rounded prices, so that it holds whatever the linear programming library did. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_INTEGER_H
#define ELLWAND_CUTTING_INTEGER_H

#include "cutting/watch.h"

#include <stddef.h>
#include <stdint.h>

#define INTEGER_FREE INT64_MAX /* a row without a most; -INTEGER_FREE: without a least */

struct integer_row {
    int64_t least, most;
};

struct integer_column {
    int64_t cost, limit;
    size_t first; /* its entries: rows[first ..], values[first ..], up to the next column's first */
    uint8_t rank; /* columns of the least rank that is not whole are branched on first */
};

/* Built by the calls below; every array is owned. */
struct integer_program {
    struct integer_row *rows;
    struct integer_column *columns;
    int *entry_rows;
    int64_t *entry_values;
    size_t row_count, row_room, column_count, column_room, entry_count, entry_room;
    bool no_memory;
};

void integer_free(struct integer_program *program);
/* Each returns its number. On want of memory no_memory is set and the program is not to be used. */
size_t integer_row(struct integer_program *program, int64_t least, int64_t most);
size_t integer_column(struct integer_program *program, int64_t cost, int64_t limit, uint8_t rank);
/* Of the column added last; each row once. */
void integer_entry(struct integer_program *program, size_t row, int64_t value);

struct integer_answer {
    bool found;    /* a solution that costs less than the target */
    int64_t cost;  /* its cost */
    int64_t *uses; /* of each column; owned */
    int64_t bound; /* no solution costs less than this, or than the target where that is lower */
};

/* Looks for the least cost below `target`, costs being multiples of `step`, until the search is complete, `floor` is
 * reached (nothing can cost less), or the watch is over. False for want of memory; the answer then holds nothing. */
bool integer_solve(const struct integer_program *program, int64_t target, int64_t floor, int64_t step,
                   struct watch *watch, struct integer_answer *answer) MUST_CHECK;
void integer_answer_free(struct integer_answer *answer);

#endif
