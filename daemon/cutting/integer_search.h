/* The search behind integer.h, as its parts see it. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_INTEGER_SEARCH_H
#define ELLWAND_CUTTING_INTEGER_SEARCH_H

#include "cutting/integer.h"
#include "cutting/lp.h"

/* Values within this of a whole number are whole. */
#define INTEGER_WHOLE 1e-5

/* A column or a row, no less or no more than a number. */
struct integer_limit {
    size_t at;
    bool row, least;
    int64_t number;
};

struct integer_node {
    struct integer_node *below; /* on the stack */
    int64_t bound;
    size_t limit_count;
    struct integer_limit limits[];
};

/* sum of values times uses of the columns <= most: holds for whole uses that cost less than the target. */
struct integer_cut {
    size_t count;
    int *columns;
    int64_t *values;
    int64_t most, largest; /* of the values' sizes: the row in the linear program is divided by it */
};

/* What branching on a row or column has cost so far, for each unit that it was away from whole. */
struct integer_history {
    double sum[2]; /* down, up */
    int count[2];
};

struct integer_search {
    const struct integer_program *program;
    struct watch *watch;
    struct integer_answer *answer;
    int64_t target, step, unresolved;
    struct lp *lp;
    double money, scale, dummy;
    size_t dummies;
    int64_t *base;            /* of each column: the most uses, 0 once it is ruled out */
    int64_t *least, *most;    /* of each column, in the node at hand */
    struct integer_row *rows; /* in the node at hand */
    int64_t *prices, *sums;   /* of each row: in integers; of what it holds */
    __int128 *reduced;        /* of each column, times the scale, from the last bound */
    __int128 sum;             /* the last bound times the scale */
    struct integer_node *top;
    size_t room, bytes;              /* of the program; of the nodes on the stack */
    struct integer_history *history; /* of each row, then each column */
    struct integer_cut *cuts;
    size_t cut_count;
    bool deeper, no_memory;
};

/* Steps of the watch for one pivot. */
static inline int64_t integer_pivot_steps(const struct integer_search *search) {
    return (int64_t)((search->program->row_count + search->cut_count) / 8 + 4);
}

enum { INTEGER_CUTS_MOST = 300 };

/* Where the column's entries end. */
static inline size_t integer_entries_end(const struct integer_program *program, size_t column) {
    return column + 1 < program->column_count ? program->columns[column + 1].first : program->entry_count;
}

/* Adds cuts that the relaxation's solution violates. Returns their number. */
size_t integer_cut(struct integer_search *search);
/* Adds the cut's row to the linear program. False for want of memory. */
bool integer_cut_row(struct integer_search *search, const struct integer_cut *cut) MUST_CHECK;
void integer_cut_free(struct integer_cut *cut);
void integer_cuts_free(struct integer_search *search);

/* After the node's relaxation was solved: what to branch on, by solving the relaxations of some candidates' children for a
 * few pivots each until enough is known of them (Achterberg, Koch, Martin 2005). False when everything is whole. The limits are to be set anew. */
bool integer_branch(struct integer_search *search, struct integer_limit *limit);

#endif
