/* The integer program of `finish`: an equation for each type, limits for stock and places, cuts, and
 * branching limits. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PROGRAM_H
#define ELLWAND_CUTTING_PROGRAM_H

#include "cutting/enumerate.h"
#include "cutting/lp.h"

/* Of the pieces of three types, each two take a bar of their own: sum of floor((a_i + a_j + a_k) / 2) x over
 * all patterns is at most floor((d_i + d_j + d_k) / 2). */
struct cut {
    int32_t type[3];
    int64_t most;
};

enum limit_kind {
    LIMIT_TOGETHER,
    LIMIT_APART,
    LIMIT_STOCK_MOST,
    LIMIT_STOCK_LEAST,
    LIMIT_USE_MOST,
    LIMIT_USE_LEAST
};

struct limit {
    enum limit_kind kind;
    int32_t one, other; /* types; or class; or column */
    int64_t count;
};

struct program {
    struct engine *engine;
    const struct choice_list *list;
    struct lp *lp;
    double money, dummy;
    size_t types, stocks, columns, dummies;
    size_t stock_row, place_row, cut_row; /* where these rows begin; place_row == cut_row: no such row */
    struct cut *cuts;
    size_t cut_count, cut_room;
    int64_t *base;         /* of each column: the most uses, 0 once it is ruled out */
    int64_t *least, *most; /* of each column, in the node at hand */
    int64_t *stock_least, *stock_most;
    int64_t *reduced;      /* of each column, times the scale, from the last program_bound */
    int64_t *root_reduced; /* as remembered */
    bool remembered;
    __int128 root_sum;
    double scale;
    __int128 sum; /* the bound times the scale */
    double *use;  /* the last solution, one a column */
};

bool program_make(struct engine *engine, const struct choice_list *list, struct program *program) MUST_CHECK;
void program_free(struct program *program);

/* Limits as in the node with these decisions. */
void program_limit(struct program *program, const struct limit *limits, size_t count);

/* Solves. False when the library found no optimum. */
bool program_solve(struct program *program);

/* After a solve: what no plan of this node can cost less than, in integers from the rounded prices. */
int64_t program_bound(struct program *program);

/* Adds violated cuts, at most `most`. Returns their number. */
size_t program_cut(struct program *program, size_t most);

/* Keeps the reduced costs and sum of the last program_bound, which was without limits. */
void program_remember(struct program *program);

/* Rules out columns that no plan below the target can use, by reduced costs and their sum from a bound without
 * limits. */
void program_rule_out(struct program *program, const int64_t *reduced, __int128 sum);

const struct pattern *program_pattern(const struct program *program, size_t column);
/* How many of the type the column's pattern holds. */
int32_t program_holds(const struct program *program, size_t column, int32_t type);

#endif
