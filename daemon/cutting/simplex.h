/* The dual simplex method for small programs: minimise cost x, A x within limits by rows, x within limits by columns.
 *
 * A general library spends more on setting up and starting such a program than on its pivots: 0.1 ms and more for each of
 * thousands of solves (bench/lp). Here the inverse of the basis is dense and the state one block of memory, so that a solve
 * goes on from wherever the last one ended, whatever limits changed since, and can be put back after a trial. Every limit
 * is finite: so there always is a basis to begin with, and no first phase. Steepest edge with exact weights, steps past
 * breakpoints of boxed columns (Koberstein 2005).
 *
 * Numbers from it are hints, as those of lp.h: whatever is claimed is worked out again in integers.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SIMPLEX_H
#define ELLWAND_CUTTING_SIMPLEX_H

#include "cutting/columns.h"

enum simplex_end {
    SIMPLEX_BEST,   /* an optimum of the program */
    SIMPLEX_CUT,    /* the cost reached the limit given: prices show it */
    SIMPLEX_EMPTY,  /* no solution: prices plus any multiple of the ray raise the cost without end */
    SIMPLEX_STOPPED /* after as many pivots as were allowed */
};

struct simplex {
    const struct columns *columns;
    size_t rows, count; /* variables: the columns, then one of each row, which says what the row has */
    double *cost;       /* of the columns */
    double scale;       /* the dearest: tolerances go by it */
    size_t pivots;      /* in all */
    /* Which columns a row is in, once for each unit: holds[holds_from[i] .. holds_from[i + 1]). */
    uint32_t *holds_from, *holds;
    double slope; /* after SIMPLEX_EMPTY: what the cost gains for each unit of the ray */
    /* The state, one block. */
    char *state;
    size_t state_size;
    double *inverse; /* rows * rows */
    double *norm;    /* of each row of the inverse, squared */
    double *price;   /* of each row */
    double *basic;   /* values of the basic variables */
    double *least, *most, *reduced;
    double *moved;   /* what changed limits did to the rows, not yet applied */
    double *summary; /* [0]: the cost */
    int32_t *basis;  /* which variable is basic in each row */
    int32_t *place;  /* of each variable: its row when basic; else -1: at its least, -2: at its most */
    int32_t *active; /* variables not basic whose limits differ */
    int32_t *at;     /* where each stands there, or -1 */
    int32_t
        *numbers; /* [0]: how many are active; [1]: something moved; [2]: pivots since the inverse was made */
    /* Scratch. */
    double *row, *column, *ratio;
    int32_t *passed, *entry;
};

/* Rows have exactly `row_least` to `row_most` of what their columns take. False for want of memory; the caller frees by
 * simplex_free also then. The columns are borrowed. */
bool simplex_make(const struct columns *columns, const int64_t *row_least, const int64_t *row_most,
                  struct simplex *simplex) MUST_CHECK;
void simplex_free(struct simplex *simplex);

/* Begins from another program's basis: `from` has these columns and more, kept[j] is the number there of column j. Those not
 * kept must not be in its basis. False when the basis will not do: the caller then begins anew. */
bool simplex_follow(struct simplex *simplex, const struct simplex *from, const uint32_t *kept) MUST_CHECK;

/* Limits of a column, or of row i as variable columns->count + i. */
void simplex_limit(struct simplex *simplex, size_t variable, double least, double most);

/* Until the cost is `cut` or more, an optimum is there, or after `pivots`. */
enum simplex_end simplex_solve(struct simplex *simplex, double cut, int pivots);

/* After a solve. */
double simplex_value(const struct simplex *simplex, size_t variable);
static inline double simplex_cost(const struct simplex *simplex) {
    return simplex->summary[0];
}
/* After SIMPLEX_EMPTY: what may be added to the prices of the rows, as often as one likes. */
const double *simplex_ray(const struct simplex *simplex);

/* The state as it is, into a block of state_size bytes; and back. */
void simplex_save(const struct simplex *simplex, void *block);
void simplex_restore(struct simplex *simplex, const void *block);

#endif
