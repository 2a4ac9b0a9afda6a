/* A linear program that grows by columns and rows: minimise cost x, lower <= A x <= upper, 0 <= x <= limit.
 *
 * All that the search wants from a linear programming library stands here, so that another can take its place.
 * Numbers from it are hints: whatever is claimed is worked out again in integers.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_LP_H
#define ELLWAND_CUTTING_LP_H

#include <stdbool.h>
#include <stddef.h>

struct lp;

/* `rows` rows with their bounds (copied); -HUGE_VAL and HUGE_VAL: none. NULL for want of memory. */
struct lp *lp_make(size_t rows, const double *lower, const double *upper);
void lp_free(struct lp *lp);

/* Columns gathered for adding: entries row[start[k] .. start[k+1]). The caller keeps the arrays. */
struct lp_columns {
    size_t count;
    const double *cost, *limit;
    const int *start; /* count + 1 */
    const int *row;
    const double *value;
};
void lp_add(struct lp *lp, const struct lp_columns *columns);
/* One row more: entries at columns. */
void lp_add_row(struct lp *lp, size_t count, const int *column, const double *value, double lower,
                double upper);
void lp_set_row(struct lp *lp, size_t row, double lower, double upper);
void lp_set_limits(struct lp *lp, size_t column, double least, double most);
/* As lp_solve, by the dual simplex: after rows or limits changed. */
bool lp_solve_dual(struct lp *lp, int pivots);

enum lp_end {
    LP_BEST,   /* an optimum of the program */
    LP_CUT,    /* the cost reached the limit given: the prices show it */
    LP_EMPTY,  /* no solution */
    LP_STOPPED /* after as many pivots as were allowed, or in trouble with numbers */
};
/* By the dual simplex from where it stood, until an optimum is there, the cost is `cut` or more (HUGE_VAL: whatever it is), or after
 * `pivots`. */
enum lp_end lp_solve_to(struct lp *lp, double cut, int pivots);
/* After LP_EMPTY: what added to the prices of the rows raises the bound without end, up to its sign. False when the library tells
 * none; `ray` has room for the rows. */
bool lp_ray(const struct lp *lp, double *ray);

/* The basis: a byte for each column, then for each row, into `states`; and back. lp_saved_state tells what a byte says. */
void lp_save(const struct lp *lp, unsigned char *states);
void lp_restore(struct lp *lp, const unsigned char *states);

void lp_set_cost(struct lp *lp, size_t column, double cost);

/* Solves from where it stood, with at most `pivots` pivots. False when it came to no optimum. */
bool lp_solve(struct lp *lp, int pivots);

/* After a solve; valid until the next call. */
const double *lp_values(const struct lp *lp);  /* one a column */
const double *lp_prices(const struct lp *lp);  /* one a row: what one more unit of its bound costs */
const double *lp_reduced(const struct lp *lp); /* reduced cost of each column */
const double *lp_sums(const struct lp *lp);    /* what each row has */
double lp_cost(const struct lp *lp);
enum lp_state { LP_BASIC, LP_LEAST, LP_MOST, LP_ELSEWHERE };
enum lp_state lp_column_state(const struct lp *lp, size_t column);
enum lp_state lp_row_state(const struct lp *lp, size_t row);
enum lp_state lp_saved_state(unsigned char state);
int lp_pivots(const struct lp *lp); /* of the last solve */

#endif
