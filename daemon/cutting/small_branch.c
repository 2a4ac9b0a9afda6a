/* Which branch to take. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/small_tree.h"

#include <math.h>
#include <string.h>

enum { TRIALS = 8, TRIAL_PIVOTS = 20, TRIALS_ENOUGH = 2 };
#define WHOLE 1e-5

struct option {
    struct branch branch; /* the "yes" half, or the "at most" half */
    double centre;        /* how far from whole */
};

struct options {
    struct option list[TRIALS];
    size_t count;
};

static double centre(double value) {
    double part = value - floor(value + WHOLE / 10);
    return part < 0.5 ? part : 1 - part;
}

static void consider(struct options *options, const struct branch *branch, double value) {
    double now = centre(value);
    if (now < WHOLE || (options->count == TRIALS && now <= options->list[TRIALS - 1].centre))
        return;
    size_t at = options->count < TRIALS ? options->count++ : TRIALS - 1;
    for (; at > 0 && options->list[at - 1].centre < now; at--)
        options->list[at] = options->list[at - 1];
    options->list[at] = (struct option){*branch, now};
}

static struct branch opposite(const struct branch *branch) {
    static const enum branch_kind kinds[] = {BRANCH_APART, BRANCH_TOGETHER, BRANCH_NOT_FROM,
                                             BRANCH_FROM,  BRANCH_LEAST,    BRANCH_MOST};
    struct branch other = *branch;
    other.kind = kinds[branch->kind];
    if (branch->kind == BRANCH_MOST)
        other.count++;
    else if (branch->kind == BRANCH_LEAST)
        other.count--;
    return other;
}

static void close_column(struct tree *tree, uint32_t column) {
    tree_limit(tree, column, 0, 0);
}

static bool column_holds(const struct tree *tree, uint32_t column, int32_t type) {
    const struct column *from = &tree->columns->list[column];
    for (uint32_t i = from->first; i < from->end && tree->columns->rows[i] <= type; i++)
        if (tree->columns->rows[i] == type)
            return true;
    return false;
}

/* Columns with the type and not, or with both, as `closed` says. */
static void close_pair(struct tree *tree, int32_t one, int32_t other, bool closed) {
    for (uint32_t n = tree->from[one]; n < tree->from[one + 1]; n++) {
        uint32_t column = tree->holders[n];
        if (tree->lp.most[column] > 0 && column_holds(tree, column, other) == closed)
            close_column(tree, column);
    }
}

static void close_class(struct tree *tree, int32_t type, int32_t stock, bool closed) {
    for (uint32_t n = tree->from[type]; n < tree->from[type + 1]; n++) {
        uint32_t column = tree->holders[n];
        if (tree->lp.most[column] > 0 && (tree->columns->list[column].stock == stock) == closed)
            close_column(tree, column);
    }
}

/* A row's variable is what makes its sum nothing: its limits are those of the row, turned round. */
static void limit_variable(struct tree *tree, const struct branch *branch) {
    const struct small_lp *lp = &tree->lp;
    size_t variable = (size_t)branch->one, columns = tree->columns->count;
    bool row = variable >= columns, upper = (branch->kind == BRANCH_MOST) != row;
    double count = (double)(row ? -branch->count : branch->count);
    double least = lp->least[variable], most = lp->most[variable];
    if (upper)
        most = fmin(most, count);
    else
        least = fmax(least, count);
    /* The branch stands against what was ruled out: it is taken without that. */
    if (least > most && upper)
        least = row ? -(double)tree->row_most[variable - columns] : 0;
    else if (least > most)
        most = row ? -(double)tree->row_least[variable - columns]
                   : (double)tree->columns->list[variable].most + 1;
    tree_limit(tree, variable, least, most);
}

void tree_apply(struct tree *tree, const struct branch *branch) {
    switch (branch->kind) {
    case BRANCH_TOGETHER:
        close_pair(tree, branch->one, branch->other, false);
        close_pair(tree, branch->other, branch->one, false);
        break;
    case BRANCH_APART:
        close_pair(tree, branch->one, branch->other, true);
        break;
    case BRANCH_FROM:
        close_class(tree, branch->one, branch->other, false);
        break;
    case BRANCH_NOT_FROM:
        close_class(tree, branch->one, branch->other, true);
        break;
    case BRANCH_MOST:
    case BRANCH_LEAST:
        limit_variable(tree, branch);
        break;
    }
}

/* How often two types of demand 1 lie together, and what comes from which class; of what is whole, nothing is added. */
static void add_up(struct tree *tree) {
    const struct columns *columns = tree->columns;
    const struct model *model = columns->model;
    const struct small_lp *lp = &tree->lp;
    memset(tree->pairs, 0, columns->types * columns->types * sizeof *tree->pairs);
    memset(tree->classes, 0, columns->types * model->stock_count * sizeof *tree->classes);
    const double *values = lp_values(lp->lp);
    for (size_t j = 0; j < columns->count; j++) {
        double value = values[j];
        if (centre(value) < WHOLE)
            continue;
        const struct column *column = &columns->list[j];
        for (uint32_t i = column->first; i < column->end && columns->rows[i] < columns->types; i++) {
            size_t one = columns->rows[i];
            if (model->types[one].demand != 1)
                continue;
            tree->classes[one * model->stock_count + (size_t)column->stock] += value;
            for (uint32_t k = i + 1; k < column->end && columns->rows[k] < columns->types; k++)
                if (model->types[columns->rows[k]].demand == 1)
                    tree->pairs[one * columns->types + columns->rows[k]] += value;
        }
    }
}

static void gather_rows(const struct tree *tree, struct options *options) {
    const struct columns *columns = tree->columns;
    for (size_t i = columns->types; i < columns->row_count; i++) {
        double used = -small_lp_value(&tree->lp, columns->count + i);
        consider(options,
                 &(struct branch){BRANCH_MOST, (int32_t)(columns->count + i), 0,
                                  (int64_t)floor(used + WHOLE / 10)},
                 used);
    }
}

static void gather_types(const struct tree *tree, struct options *options) {
    const struct columns *columns = tree->columns;
    size_t types = columns->types, stocks = columns->model->stock_count;
    for (size_t i = 0; i < types; i++) {
        for (size_t j = i + 1; j < types; j++)
            consider(options, &(struct branch){BRANCH_TOGETHER, (int32_t)i, (int32_t)j, 0},
                     tree->pairs[i * types + j]);
        for (size_t s = 0; s < stocks; s++)
            consider(options, &(struct branch){BRANCH_FROM, (int32_t)i, (int32_t)s, 0},
                     tree->classes[i * stocks + s]);
    }
}

static void gather_uses(const struct tree *tree, struct options *options) {
    const double *values = lp_values(tree->lp.lp);
    for (size_t j = 0; j < tree->columns->count; j++)
        consider(options,
                 &(struct branch){BRANCH_MOST, (int32_t)j, 0, (int64_t)floor(values[j] + WHOLE / 10)},
                 values[j]);
}

/* What the cost rises to under the branch, as far as a few pivots tell; HUGE_VAL: to the target. Everything is put back. */
static double attempt(struct tree *tree, const struct branch *branch) {
    struct small_lp *lp = &tree->lp;
    size_t mark = tree->trail_count, before = lp->pivots;
    double cut = (double)(tree->target - tree->engine->step);
    tree_apply(tree, branch);
    enum lp_end end = small_lp_solve(lp, cut, TRIAL_PIVOTS);
    double cost = end == LP_EMPTY || end == LP_CUT ? HUGE_VAL : lp->cost;
    tree_undo(tree, mark);
    small_lp_restore(lp, tree->saved);
    watch_over(tree->engine->watch,
               (int64_t)(lp->pivots - before) * (int64_t)(tree->columns->row_count / 8 + 4));
    return cost;
}

/* Where a branch's gains are kept; NULL for the uses of a single column, which come again too seldom. */
static struct branch_gain *gain_of(const struct tree *tree, const struct branch *branch) {
    size_t types = tree->columns->types, stocks = tree->columns->model->stock_count,
           columns = tree->columns->count;
    size_t one = (size_t)branch->one, other = (size_t)branch->other;
    if (branch->kind == BRANCH_TOGETHER)
        return &tree->gains[one * types + other];
    if (branch->kind == BRANCH_FROM)
        return &tree->gains[types * types + one * stocks + other];
    return one < columns ? NULL : &tree->gains[types * (types + stocks) + one - columns];
}

/* What both halves raise the cost by: as the last trials had it, once there were enough, else by another one. */
static void find_gains(struct tree *tree, const struct branch *branch, double base, double *first,
                       double *second) {
    struct branch_gain *known = gain_of(tree, branch);
    double most = (double)tree->target - base;
    struct branch two = opposite(branch);
    if (known != NULL && known->count >= TRIALS_ENOUGH) {
        *first = known->first / known->count;
        *second = known->second / known->count;
        return;
    }
    *first = fmin(attempt(tree, branch) - base, most);
    *second = fmin(attempt(tree, &two) - base, most);
    if (known == NULL)
        return;
    known->first += *first;
    known->second += *second;
    known->count++;
}

bool tree_choose(struct tree *tree, struct branch *branch, struct branch *other) {
    struct options options = {.count = 0};
    add_up(tree);
    gather_rows(tree, &options);
    gather_types(tree, &options);
    if (options.count == 0)
        gather_uses(tree, &options);
    if (options.count == 0)
        return false;
    double base = tree->lp.cost, best = -1, least = 1e-4 * (double)tree->engine->step;
    double closed = (double)tree->target - base;
    small_lp_save(&tree->lp, tree->saved);
    for (size_t i = 0; i < options.count; i++) {
        struct branch one = options.list[i].branch, two = opposite(&one);
        double first, second;
        find_gains(tree, &one, base, &first, &second);
        double score = fmax(first, least) * fmax(second, least);
        if (score <= best)
            continue;
        best = score;
        *branch = first <= second ? one : two;
        *other = first <= second ? two : one;
        if (first >= closed || second >= closed)
            break;
    }
    return true;
}
