/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/small_tree.h"

#include "cutting/primal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of the gap between the root's bound and the best plan: what is searched first, and how much more each time. */
#define FIRST_SHARE 0.1
#define NEXT_SHARE 3

enum { ROWS_MOST = 160, COLUMNS_MOST = 30000, PIECES_MOST = 5000, PIVOTS = 2000 };

bool small_enough(const struct model *model, size_t columns) {
    int64_t pieces = 0;
    if (model->type_count + model->stock_count > ROWS_MOST || columns > COLUMNS_MOST)
        return false;
    for (size_t i = 0; i < model->type_count; i++)
        pieces += model->types[i].demand;
    return pieces <= PIECES_MOST;
}

static void push(struct tree *tree, const struct branch *branch, int64_t bound) {
    struct branch_node *node = calloc(1, sizeof *node);
    size_t depth = tree->depth + (branch != NULL);
    if (node != NULL)
        node->branches = malloc((depth + 1) * sizeof *node->branches);
    if (node == NULL || node->branches == NULL) {
        free(node);
        tree->engine->no_memory = true;
        return;
    }
    if (tree->depth > 0)
        memcpy(node->branches, tree->path, tree->depth * sizeof *node->branches);
    if (branch != NULL)
        node->branches[tree->depth] = *branch;
    *node = (struct branch_node){tree->top, bound, depth, node->branches};
    tree->top = node;
}

/* Down while it goes down; then where the bound is least. */
static struct branch_node *take_next(struct tree *tree) {
    struct branch_node **least = &tree->top;
    for (struct branch_node **at = &tree->top; !tree->deeper && *at != NULL; at = &(*at)->below)
        if ((*at)->bound < (*least)->bound)
            least = at;
    struct branch_node *node = *least;
    *least = node->below;
    return node;
}

static bool hopeless(const struct tree *tree, int64_t bound) {
    return bound >= tree->target;
}

/* Offers the solution where it is whole. What it covers is counted again. */
static bool offer(struct tree *tree) {
    const struct columns *columns = tree->columns;
    const struct small_lp *lp = &tree->lp;
    const double *values = lp_values(lp->lp);
    int64_t *sums = tree->price;
    for (size_t j = 0; j < columns->count; j++)
        if (fabs(values[j] - round(values[j])) > 1e-6)
            return false;
    layout_reset(&tree->layout);
    memset(sums, 0, columns->row_count * sizeof *sums);
    for (size_t j = 0; j < columns->count; j++) {
        int64_t times = lp->most[j] > 0 ? llround(values[j]) : 0;
        if (times == 0)
            continue;
        if (times < 0)
            return false;
        columns_place(columns, j, times, tree->parts, &tree->layout);
        for (uint32_t i = columns->list[j].first; i < columns->list[j].end; i++)
            sums[columns->rows[i]] += times;
    }
    for (size_t i = 0; i < columns->row_count; i++)
        if (sums[i] < tree->row_least[i] || sums[i] > tree->row_most[i])
            return false;
    tree->layout.unmet = 0;
    engine_offer(tree->engine, &tree->layout);
    if (tree->engine->target < tree->target)
        tree->target = tree->engine->target;
    return true;
}

static bool count_work(struct tree *tree, size_t pivots) {
    const struct columns *columns = tree->columns;
    return watch_over(tree->engine->watch, (int64_t)pivots * (int64_t)(columns->row_count / 8 + 4) + 1);
}

/* Solves where it stands. True when nothing below the target is there: proven. `bound`: what was. */
static bool settle(struct tree *tree, int64_t *bound, enum lp_end *end) {
    struct small_lp *lp = &tree->lp;
    int64_t step = tree->engine->step;
    double cut = (double)(tree->target - step) + 1e-6 * (double)step;
    for (int round = 0; round < 2; round++) {
        size_t before = lp->pivots;
        *end = small_lp_solve(lp, round == 0 ? cut : HUGE_VAL, PIVOTS);
        count_work(tree, lp->pivots - before);
        double missing = cut - lp->cost + lp->scale;
        int64_t now = tree_prove(tree, *end == LP_EMPTY ? missing / lp->slope : 0);
        if (now > *bound)
            *bound = now;
        if (hopeless(tree, *bound))
            return true;
        if (*end != LP_CUT)
            break;
    }
    return false;
}

static void visit(struct tree *tree, const struct branch_node *node) {
    struct engine *engine = tree->engine;
    struct branch branch, other;
    enum lp_end end;
    int64_t bound = node->bound;
    tree_go_to(tree, node);
    if (settle(tree, &bound, &end) || engine->no_memory)
        return;
    if (end == LP_BEST) {
        tree_rule_out(tree);
        if (offer(tree) && hopeless(tree, bound))
            return;
        if (!engine->watch->over && tree_choose(tree, &branch, &other)) {
            push(tree, &other, bound);
            push(tree, &branch, bound);
            tree->deeper = true;
            return;
        }
    }
    if (bound < tree->unresolved)
        tree->unresolved = bound;
}

/* Everything below the tree's target. Returns the bound that holds then. */
static int64_t search(struct tree *tree, int64_t root) {
    const struct engine *engine = tree->engine;
    push(tree, NULL, root);
    while (tree->top != NULL && !engine->no_memory && !watch_over(engine->watch, 1)) {
        struct branch_node *node = take_next(tree);
        tree->deeper = false;
        if (!hopeless(tree, node->bound))
            visit(tree, node);
        tree_node_free(node);
    }
    int64_t bound = tree->unresolved;
    for (const struct branch_node *node = tree->top; node != NULL; node = node->below)
        if (node->bound < bound)
            bound = node->bound;
    return bound < tree->target ? bound : tree->target;
}

/* The columns that a plan below `target` can use, by what the root's proof says of each. Returns their number. */
static size_t keep_columns(const struct tree *root, int64_t target, uint32_t *kept) {
    __int128 room = (__int128)(target - root->engine->step) * (int64_t)root->scale - root->sum;
    size_t count = 0;
    for (size_t j = 0; j < root->columns->count; j++)
        if (root->reduced[j] <= room)
            kept[count++] = (uint32_t)j;
    return count;
}

/* Searches for plans below `target`, over the columns that these can use. Returns the bound found. */
static int64_t search_below(const struct tree *root, int64_t target, int64_t bound) {
    struct engine *engine = root->engine;
    struct columns columns = {0};
    struct tree tree = {0};
    uint32_t *kept = malloc((root->columns->count + 1) * sizeof *kept);
    size_t count = kept != NULL ? keep_columns(root, target, kept) : 0;
    bool fine = kept != NULL && columns_keep(root->columns, kept, count, &columns) &&
                tree_make(engine, &columns, &tree);
    fine = fine && small_lp_follow(&tree.lp, &root->lp, kept);
    free(kept);
    if (fine) {
        tree.target = tree.narrowed = target;
        bound = search(&tree, bound);
    }
    engine->no_memory = engine->no_memory || !fine;
    tree_free(&tree);
    columns_free(&columns);
    return bound;
}

/* The root as it is; then searches for plans a little dearer than its bound, then for dearer ones: most often one is found
 * soon, and what costs more need not be looked at. */
static void search_from(struct tree *root, struct small_bounds *bounds) {
    struct engine *engine = root->engine;
    enum lp_end end;
    int64_t bound = engine->bound;
    bool closed = settle(root, &bound, &end);
    if (end != LP_EMPTY && engine->certificate != NULL) {
        bounds->root = tree_certify(root, engine->certificate);
        tree_prove(root, 0); /* what the certificate has overwritten */
    }
    bounds->bound = bound;
    if (closed || end != LP_BEST || (offer(root) && bound >= engine->target))
        return;
    double share = FIRST_SHARE;
    while (bound < engine->target && !engine->no_memory && !engine->watch->over) {
        int64_t gap = engine->target - bounds->bound, step = engine->step;
        int64_t more = (int64_t)((double)gap * share / (double)step + 1) * step;
        int64_t target = more < gap && share < 1 ? bounds->bound + more : engine->target;
        int64_t now = search_below(root, target, bound);
        if (now <= bound && now < target)
            break;
        bound = now;
        share *= NEXT_SHARE;
    }
    bounds->bound = bound;
}

void small_search(struct engine *engine, const struct columns *columns, struct small_bounds *bounds) {
    struct tree root;
    *bounds = (struct small_bounds){INT64_MIN, INT64_MIN};
    if (tree_make(engine, columns, &root))
        search_from(&root, bounds);
    else
        engine->no_memory = true;
    tree_free(&root);
}
