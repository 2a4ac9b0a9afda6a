/* The linear program of a small search: a column for each pattern, limits that change from node to node.
 *
 * Variables are the columns, then one for each row, minus what the row has: so the limits of both are changed and branched on
 * alike. All of them are finite. Numbers from it are hints, as those of lp.h: whatever is claimed is worked out again in
 * integers.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SMALL_LP_H
#define ELLWAND_CUTTING_SMALL_LP_H

#include "cutting/columns.h"
#include "cutting/lp.h"

struct small_lp {
    const struct columns *columns; /* borrowed */
    size_t rows, count;            /* count: of the variables */
    struct lp *lp;
    double *least, *most; /* of the variables; change them by small_lp_limit alone */
    double *price;        /* of each row, after a solve */
    double *ray;   /* after LP_EMPTY: what may be added to the prices of the rows, as often as one likes */
    double slope;  /* then: what the cost gains for each time; above 0 */
    double *work;  /* of each row; anyone's scratch */
    double cost;   /* after a solve */
    double scale;  /* the dearest column's cost: tolerances go by it */
    size_t pivots; /* in all */
};

/* Rows have exactly `row_least` to `row_most` of what their columns take. False for want of memory; the caller frees by
 * small_lp_free also then. */
bool small_lp_make(const struct columns *columns, const int64_t *row_least, const int64_t *row_most,
                   struct small_lp *lp) MUST_CHECK;
void small_lp_free(struct small_lp *lp);

/* Begins from another program's basis: `from` has these columns and more, kept[j] is the number there of column j. Where one that is not
 * kept was in that basis, it begins from nothing instead. False for want of memory. */
bool small_lp_follow(struct small_lp *lp, const struct small_lp *from, const uint32_t *kept) MUST_CHECK;

void small_lp_limit(struct small_lp *lp, size_t variable, double least, double most);

/* By the dual simplex method from where it stood, until an optimum is there, the cost is `cut` or more, or after `pivots`. */
enum lp_end small_lp_solve(struct small_lp *lp, double cut, int pivots);

/* After a solve. */
double small_lp_value(const struct small_lp *lp, size_t variable);

/* The basis as it is, into a block of `count` bytes, and back; limits are not part of it. */
void small_lp_save(const struct small_lp *lp, unsigned char *block);
void small_lp_restore(struct small_lp *lp, const unsigned char *block);

#endif
