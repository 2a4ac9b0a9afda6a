/* The tree of small.h: what it holds, and where in it the linear program stands. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/small_tree.h"

#include <stdlib.h>
#include <string.h>

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
        tree->row_most[columns->stock_row + i] =
            supply == CUTTING_UNLIMITED || supply > pieces ? pieces : supply;
    }
    if (columns->place_row < columns->row_count) {
        int64_t places = model->problem->remainder.places;
        tree->row_most[columns->place_row] = places > pieces ? pieces : places;
    }
}

bool tree_make(struct engine *engine, const struct columns *columns, struct tree *tree) {
    size_t types = columns->types, stocks = columns->model->stock_count;
    size_t count = (columns->count > stocks ? columns->count : stocks) + 1;
    *tree = (struct tree){
        .engine = engine, .columns = columns, .target = engine->target, .unresolved = INT64_MAX};
    tree->row_least = calloc(columns->row_count + 1, sizeof *tree->row_least);
    tree->row_most = calloc(columns->row_count + 1, sizeof *tree->row_most);
    tree->price = calloc(columns->row_count + 1, sizeof *tree->price);
    tree->reduced = calloc(count, sizeof *tree->reduced);
    tree->root_reduced = calloc(count, sizeof *tree->root_reduced);
    tree->pairs = calloc(types * types + 1, sizeof *tree->pairs);
    tree->classes = calloc(types * stocks + 1, sizeof *tree->classes);
    tree->gains = calloc(types * (types + stocks) + columns->row_count + 1, sizeof *tree->gains);
    tree->parts = malloc((types + 1) * sizeof *tree->parts);
    if (!tree->row_least || !tree->row_most || !tree->price || !tree->reduced || !tree->root_reduced ||
        !tree->pairs || !tree->classes || !tree->gains || !tree->parts || !list_holders(tree))
        return false;
    set_rows(tree);
    if (!small_lp_make(columns, tree->row_least, tree->row_most, &tree->lp))
        return false;
    tree->saved = malloc(tree->lp.count + 1);
    return tree->saved != NULL;
}

void tree_node_free(struct branch_node *node) {
    free(node->branches);
    free(node);
}

void tree_free(struct tree *tree) {
    while (tree->top != NULL) {
        struct branch_node *node = tree->top;
        tree->top = node->below;
        tree_node_free(node);
    }
    small_lp_free(&tree->lp);
    layout_free(&tree->layout);
    free(tree->row_least);
    free(tree->row_most);
    free(tree->price);
    free(tree->reduced);
    free(tree->root_reduced);
    free(tree->pairs);
    free(tree->classes);
    free(tree->gains);
    free(tree->parts);
    free(tree->from);
    free(tree->holders);
    free(tree->path);
    free(tree->marks);
    free(tree->trail);
    free(tree->saved);
}

void tree_limit(struct tree *tree, size_t variable, double least, double most) {
    struct small_lp *lp = &tree->lp;
    if (lp->least[variable] == least && lp->most[variable] == most)
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
        (struct trail_entry){(int32_t)variable, lp->least[variable], lp->most[variable]};
    small_lp_limit(lp, variable, least, most);
}

void tree_undo(struct tree *tree, size_t trail_count) {
    while (tree->trail_count > trail_count) {
        const struct trail_entry *entry = &tree->trail[--tree->trail_count];
        small_lp_limit(&tree->lp, (size_t)entry->variable, entry->least, entry->most);
    }
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

void tree_go_to(struct tree *tree, const struct branch_node *node) {
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
