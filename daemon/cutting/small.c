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

static bool list_holders(struct tree *tree) {
    const struct columns *columns = tree->columns;
    size_t types = columns->types;
    tree->from = calloc(types + 2, sizeof *tree->from);
    tree->holders = malloc((columns->entries + 1) * sizeof *tree->holders);
    if (tree->from == NULL || tree->holders == NULL)
        return false;
    for (int round = 0; round < 2; round++) {
        for (size_t j = 0; j < columns->count; j++)
            for (uint32_t i = columns->list[j].first; i < columns->list[j].end; i++) {
                uint16_t row = columns->rows[i];
                if (row >= types || (i > columns->list[j].first && columns->rows[i - 1] == row))
                    continue;
                if (round == 0)
                    tree->from[row + 2]++;
                else
                    tree->holders[tree->from[row + 1]++] = (uint32_t)j;
            }
        for (size_t row = 0; round == 0 && row < types; row++)
            tree->from[row + 2] += tree->from[row + 1];
    }
    return true;
}

/* What the rows have: demand; up to the supply; up to the places. */
static void set_rows(struct tree *tree) {
    const struct columns *columns = tree->columns;
    const struct model *model = columns->model;
    int64_t pieces = 0;
    for (size_t i = 0; i < columns->types; i++) {
        tree->row_least[i] = tree->row_most[i] = model->types[i].demand;
        pieces += model->types[i].demand;
    }
    for (size_t i = 0; i < model->stock_count; i++) {
        int64_t supply = model->stocks[i].supply;
        tree->row_most[columns->stock_row + i] = supply == CUTTING_UNLIMITED || supply > pieces ? pieces : supply;
    }
    if (columns->place_row < columns->row_count) {
        int64_t places = model->problem->remainder.places;
        tree->row_most[columns->place_row] = places > pieces ? pieces : places;
    }
}

static bool tree_make(struct engine *engine, const struct columns *columns, struct tree *tree) {
    size_t types = columns->types, stocks = columns->model->stock_count;
    size_t count = (columns->count > stocks ? columns->count : stocks) + 1;
    *tree = (struct tree){.engine = engine, .columns = columns, .target = engine->target, .unresolved = INT64_MAX};
    tree->row_least = calloc(columns->row_count + 1, sizeof *tree->row_least);
    tree->row_most = calloc(columns->row_count + 1, sizeof *tree->row_most);
    tree->price = calloc(columns->row_count + 1, sizeof *tree->price);
    tree->reduced = calloc(count, sizeof *tree->reduced);
    tree->root_reduced = calloc(count, sizeof *tree->root_reduced);
    tree->pairs = calloc(types * types + 1, sizeof *tree->pairs);
    tree->classes = calloc(types * stocks + 1, sizeof *tree->classes);
    tree->parts = malloc((types + 1) * sizeof *tree->parts);
    if (!tree->row_least || !tree->row_most || !tree->price || !tree->reduced || !tree->root_reduced ||
        !tree->pairs || !tree->classes || !tree->parts || !list_holders(tree))
        return false;
    set_rows(tree);
    if (!simplex_make(columns, tree->row_least, tree->row_most, &tree->simplex))
        return false;
    tree->saved = malloc(tree->simplex.state_size);
    return tree->saved != NULL;
}

static void node_free(struct branch_node *node) {
    free(node->branches);
    free(node);
}

static void tree_free(struct tree *tree) {
    while (tree->top != NULL) {
        struct branch_node *node = tree->top;
        tree->top = node->below;
        node_free(node);
    }
    simplex_free(&tree->simplex);
    layout_free(&tree->layout);
    void *blocks[] = {tree->row_least, tree->row_most,     tree->price, tree->reduced, tree->root_reduced,
                      tree->pairs,     tree->classes,      tree->parts, tree->from,    tree->holders,
                      tree->path,      tree->marks,        tree->trail, tree->saved};
    for (size_t i = 0; i < sizeof blocks / sizeof blocks[0]; i++)
        free(blocks[i]);
}

void tree_limit(struct tree *tree, size_t variable, double least, double most) {
    struct simplex *simplex = &tree->simplex;
    if (simplex->least[variable] == least && simplex->most[variable] == most)
        return;
    if (tree->trail_count == tree->trail_room) {
        size_t room = tree->trail_room * 2 + 1024;
        struct trail_entry *more = realloc(tree->trail, room * sizeof *more);
        if (more == NULL) {
            tree->engine->no_memory = true;
            return;
        }
        tree->trail = more;
        tree->trail_room = room;
    }
    tree->trail[tree->trail_count++] =
        (struct trail_entry){(int32_t)variable, simplex->least[variable], simplex->most[variable]};
    simplex_limit(simplex, variable, least, most);
}

void tree_undo(struct tree *tree, size_t trail_count) {
    while (tree->trail_count > trail_count) {
        const struct trail_entry *entry = &tree->trail[--tree->trail_count];
        simplex_limit(&tree->simplex, (size_t)entry->variable, entry->least, entry->most);
    }
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

static bool same(const struct branch *one, const struct branch *other) {
    return one->kind == other->kind && one->one == other->one && one->other == other->other &&
           one->count == other->count;
}

static bool path_room(struct tree *tree, size_t depth) {
    if (depth <= tree->path_room)
        return true;
    size_t room = depth * 2 + 32;
    struct branch *path = realloc(tree->path, room * sizeof *path);
    tree->path = path != NULL ? path : tree->path;
    size_t *marks = realloc(tree->marks, room * sizeof *marks);
    tree->marks = marks != NULL ? marks : tree->marks;
    if (path == NULL || marks == NULL)
        return false;
    tree->path_room = room;
    return true;
}

/* From where it stands to the node: back to where the paths part, then along the node's. */
static void go_to(struct tree *tree, const struct branch_node *node) {
    size_t common = 0;
    if (!path_room(tree, node->depth)) {
        tree->engine->no_memory = true;
        return;
    }
    while (common < tree->depth && common < node->depth && same(&tree->path[common], &node->branches[common]))
        common++;
    if (tree->target < tree->narrowed)
        common = 0;
    if (common < tree->depth)
        tree_undo(tree, tree->marks[common]);
    tree->depth = common;
    if (common == 0)
        tree_narrow(tree);
    for (; tree->depth < node->depth; tree->depth++) {
        tree->marks[tree->depth] = tree->trail_count;
        tree->path[tree->depth] = node->branches[tree->depth];
        tree_apply(tree, &tree->path[tree->depth]);
    }
}

static bool hopeless(const struct tree *tree, int64_t bound) {
    return bound >= tree->target;
}

/* Offers the solution where it is whole. What it covers is counted again. */
static bool offer(struct tree *tree) {
    const struct columns *columns = tree->columns;
    const struct simplex *simplex = &tree->simplex;
    int64_t *sums = tree->price;
    for (size_t j = 0; j < columns->count; j++)
        if (simplex->place[j] >= 0 && fabs(simplex_value(simplex, j) - round(simplex_value(simplex, j))) > 1e-6)
            return false;
    layout_reset(&tree->layout);
    memset(sums, 0, columns->row_count * sizeof *sums);
    for (size_t j = 0; j < columns->count; j++) {
        int64_t times = simplex->most[j] > 0 ? llround(simplex_value(simplex, j)) : 0;
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
static bool settle(struct tree *tree, int64_t *bound, enum simplex_end *end) {
    struct simplex *simplex = &tree->simplex;
    int64_t step = tree->engine->step;
    double cut = (double)(tree->target - step) + 1e-6 * (double)step;
    for (int round = 0; round < 2; round++) {
        size_t before = simplex->pivots;
        *end = simplex_solve(simplex, round == 0 ? cut : HUGE_VAL, PIVOTS);
        count_work(tree, simplex->pivots - before);
        double missing = cut - simplex_cost(simplex) + simplex->scale;
        int64_t now = tree_prove(tree, *end == SIMPLEX_EMPTY ? missing / simplex->slope : 0);
        if (now > *bound)
            *bound = now;
        if (hopeless(tree, *bound))
            return true;
        if (*end != SIMPLEX_CUT)
            break;
    }
    return false;
}

static void visit(struct tree *tree, const struct branch_node *node) {
    struct engine *engine = tree->engine;
    struct branch branch, other;
    enum simplex_end end;
    int64_t bound = node->bound;
    go_to(tree, node);
    if (settle(tree, &bound, &end) || engine->no_memory)
        return;
    if (end == SIMPLEX_BEST) {
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
        node_free(node);
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
    if (fine && !simplex_follow(&tree.simplex, &root->simplex, kept)) {
        simplex_free(&tree.simplex);
        fine = simplex_make(&columns, tree.row_least, tree.row_most, &tree.simplex);
    }
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
    enum simplex_end end;
    int64_t bound = engine->bound;
    bool closed = settle(root, &bound, &end);
    if (end != SIMPLEX_EMPTY && engine->certificate != NULL) {
        bounds->root = tree_certify(root, engine->certificate);
        tree_prove(root, 0); /* what the certificate has overwritten */
    }
    bounds->bound = bound;
    if (closed || end != SIMPLEX_BEST || (offer(root) && bound >= engine->target))
        return;
    for (double share = FIRST_SHARE; bound < engine->target && !engine->no_memory && !engine->watch->over;
         share *= NEXT_SHARE) {
        int64_t gap = engine->target - bounds->bound, step = engine->step;
        int64_t more = (int64_t)((double)gap * share / (double)step + 1) * step;
        int64_t target = more < gap && share < 1 ? bounds->bound + more : engine->target;
        int64_t now = search_below(root, target, bound);
        if (now <= bound && now < target)
            break;
        bound = now;
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
