/* The program over the patterns found so far: a row a type of piece, one a class of stock of limited number, one for the
 * places on the rack and one a join. Column generation (relax.h) adds to it. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_MASTER_H
#define ELLWAND_CUTTING_MASTER_H

#include "cutting/lp.h"
#include "cutting/relax.h"

/* What the linear programming library takes by itself. */
enum { MASTER_LEAST_BYTES = 2 << 20 };

struct master {
    struct engine *engine;
    const struct scope *scope;
    struct lp *lp;
    double money;                       /* the dearest bar: the program counts in it */
    double dummy;                       /* cost of leaving one piece out, in `money` */
    size_t row_count, join_row, extras; /* extras: the alternatives of joins, columns after the dummies */
    size_t exchanges;                   /* columns after those; 0 once they are closed */
    size_t own;                         /* where the patterns' columns begin */
    int *stock_row;                     /* -1: none */
    int place_row;                      /* -1: none */
    /* of the last solve */
    double *row_prices; /* in `money` */
    double cost;        /* in tenths */
    double left_out;    /* pieces, as far as the program sees it */
    /* the patterns' columns: numbers in the pool */
    int32_t *columns;
    size_t column_count, column_room;
    uint8_t *inside; /* by number in the pool */
    size_t inside_room;
    /* columns gathered for the next lp_add */
    double *costs, *limit, *entry;
    int *start, *row;
    size_t gathered, entries, gather_room, entry_room;
    size_t added;              /* entries of the program */
    struct layout_part *parts; /* room for the scope's types */
    int64_t *counts;
    bool no_memory;
};

/* False for want of memory; master_free also then. */
bool master_make(struct engine *engine, const struct scope *scope, struct master *master) MUST_CHECK;
void master_free(struct master *master);

/* What it holds, the library's own copies as far as they are known. */
size_t master_bytes(const struct master *master);

/* The columns to begin with: dummies, so that there is a solution, and those of `start` that belong to the scope. */
void master_start(struct master *master, const int32_t *start, size_t start_count);

/* Gathers the pool's pattern `number`, in the scope's types, unless it is there. True when it is new. */
bool master_gather(struct master *master, int32_t number, const struct layout_part *parts, size_t part_count);
/* Adds what was gathered to the program. */
void master_add(struct master *master);

/* Solves; the prices are in row_prices. False when the library came to no optimum, or the caller wants an end. */
bool master_solve(struct master *master);

/* Makes it dearer to leave pieces out, while that makes sense. */
bool master_raise(struct master *master);

/* From here on a longer piece no longer does for a shorter one. */
void master_close_exchanges(struct master *master);

#endif
