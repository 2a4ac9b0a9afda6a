/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/branch.h"

#include "cutting/primal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Beyond so many types the pairs are too many to count. */
enum { TYPES_MOST = 3000 };

struct node {
    struct node *below; /* on the stack */
    int64_t bound;
    size_t decision_count, start_count;
    struct decision *decisions;
    int32_t *start;
};

struct tree {
    struct engine *engine;
    struct node *top;
    int64_t unresolved; /* least bound of a node that could not be branched */
    size_t bytes;
    double *together; /* of each pair of types, how much of them lies on one bar */
    size_t together_types;
    int64_t visited;
};

static void node_free(struct node *node) {
    free(node->decisions);
    free(node->start);
    free(node);
}

static size_t node_bytes(const struct node *node) {
    return sizeof *node + node->decision_count * sizeof *node->decisions +
           node->start_count * sizeof *node->start;
}

/* A child of `parent` (NULL: the root itself) with one decision more. */
static bool push(struct tree *tree, const struct node *parent, const struct decision *decision, int64_t bound,
                 const int32_t *start, size_t start_count) {
    size_t inherited = parent ? parent->decision_count : 0;
    struct node *node = calloc(1, sizeof *node);
    if (node == NULL)
        return false;
    node->decision_count = inherited + (decision != NULL);
    node->decisions = malloc((node->decision_count + 1) * sizeof *node->decisions);
    node->start = malloc((start_count + 1) * sizeof *node->start);
    if (node->decisions == NULL || node->start == NULL) {
        node_free(node);
        return false;
    }
    if (inherited > 0)
        memcpy(node->decisions, parent->decisions, inherited * sizeof *node->decisions);
    if (decision != NULL)
        node->decisions[inherited] = *decision;
    memcpy(node->start, start, start_count * sizeof *start);
    node->start_count = start_count;
    node->bound = bound;
    node->below = tree->top;
    tree->top = node;
    tree->bytes += node_bytes(node);
    return true;
}

static double fraction(double value) {
    return value - floor(value + 1e-6);
}

/* The class whose number of bars is furthest from whole; false when all are whole. */
static bool fractional_stock(const struct engine *engine, const struct relaxed *relaxed,
                             struct decision *decision) {
    size_t stocks = engine->model->stock_count;
    double *used = calloc(stocks + 1, sizeof *used), best = 1e-4;
    if (used == NULL) {
        free(used);
        return false;
    }
    bool found = false;
    for (size_t i = 0; i < relaxed->count; i++)
        used[engine->pool.patterns[relaxed->patterns[i]].stock] += relaxed->values[i];
    for (size_t i = 0; i < stocks; i++) {
        double part = fraction(used[i]);
        double centre = part < 0.5 ? part : 1 - part;
        if (centre <= best)
            continue;
        best = centre;
        found = true;
        *decision = (struct decision){
            .kind = part < 0.5 ? DECIDE_AT_MOST : DECIDE_AT_LEAST,
            .one = (int32_t)i,
            .count = (int64_t)floor(used[i] + 1e-6) + (part >= 0.5),
        };
    }
    free(used);
    return found;
}

static bool pairs_room(struct tree *tree, size_t types) {
    if (types > tree->together_types) {
        free(tree->together);
        tree->together_types = types + 64;
        tree->together = malloc(tree->together_types * tree->together_types * sizeof *tree->together);
        if (tree->together == NULL)
            tree->together_types = 0;
    }
    if (tree->together != NULL)
        memset(tree->together, 0, types * types * sizeof *tree->together);
    return tree->together != NULL;
}

static void count_pairs(struct tree *tree, const struct scope *scope, const struct relaxed *relaxed,
                        struct layout_part *parts, int64_t *counts) {
    size_t types = scope->type_count;
    for (size_t n = 0; n < relaxed->count; n++) {
        const struct pattern *pattern = &tree->engine->pool.patterns[relaxed->patterns[n]];
        size_t count = scope_parts(scope, &tree->engine->pool, pattern, counts, parts);
        for (size_t i = 0; i < count; i++)
            for (size_t j = i; j < count; j++)
                if (i != j || parts[i].count > 1)
                    tree->together[(size_t)parts[i].type * types + (size_t)parts[j].type] +=
                        relaxed->values[n];
    }
}

/* The widest pair that lies together in part; where all lie whole, the widest pair on a bar that is used in
 * part. */
static bool fractional_pair(struct tree *tree, const struct scope *scope, const struct relaxed *relaxed,
                            struct decision *decision) {
    size_t types = scope->type_count;
    struct layout_part *parts = malloc((types + 1) * sizeof *parts);
    int64_t *counts = calloc(types + 1, sizeof *counts);
    double best = 0;
    if (types <= TYPES_MOST && parts != NULL && counts != NULL && pairs_room(tree, types)) {
        count_pairs(tree, scope, relaxed, parts, counts);
        for (size_t i = 0; i < types; i++)
            for (size_t j = i; j < types; j++) {
                double part = fraction(tree->together[i * types + j]);
                if (part < 1e-4)
                    continue;
                double score = (double)(scope->width[i] + scope->width[j]) + part * 0.5;
                if (score > best) {
                    best = score;
                    *decision = (struct decision){DECIDE_TOGETHER, (int32_t)i, (int32_t)j, 0};
                }
            }
        for (size_t n = 0; best == 0 && n < relaxed->count; n++) {
            const struct pattern *pattern = &tree->engine->pool.patterns[relaxed->patterns[n]];
            if (fraction(relaxed->values[n]) < 1e-4)
                continue;
            size_t count = scope_parts(scope, &tree->engine->pool, pattern, counts, parts);
            if (count > 1 || (count == 1 && parts[0].count > 1)) {
                best = 1;
                *decision = (struct decision){DECIDE_TOGETHER, parts[0].type, parts[count > 1].type, 0};
            }
        }
    }
    free(parts);
    free(counts);
    return best > 0;
}

static struct decision opposite(const struct decision *decision) {
    struct decision other = *decision;
    switch (decision->kind) {
    case DECIDE_TOGETHER:
        other.kind = DECIDE_APART;
        break;
    case DECIDE_APART:
        other.kind = DECIDE_TOGETHER;
        break;
    case DECIDE_AT_MOST:
        other.kind = DECIDE_AT_LEAST;
        other.count++;
        break;
    case DECIDE_AT_LEAST:
        other.kind = DECIDE_AT_MOST;
        other.count--;
        break;
    }
    return other;
}

static bool hopeless(const struct engine *engine, int64_t bound) {
    return engine->has_best && bound >= engine->target;
}

static void split(struct tree *tree, const struct node *node, const struct scope *scope,
                  const struct relaxed *relaxed) {
    struct decision decision;
    int64_t bound = relaxed->bound > node->bound ? relaxed->bound : node->bound;
    bool found = fractional_stock(tree->engine, relaxed, &decision) ||
                 fractional_pair(tree, scope, relaxed, &decision);
    if (!found) {
        if (bound < tree->unresolved)
            tree->unresolved = bound;
        return;
    }
    struct decision other = opposite(&decision);
    if (!push(tree, node, &other, bound, relaxed->near, relaxed->near_count) ||
        !push(tree, node, &decision, bound, relaxed->near, relaxed->near_count))
        tree->engine->no_memory = true;
}

static void visit(struct tree *tree, const struct node *node) {
    struct engine *engine = tree->engine;
    struct scope scope;
    struct relaxed relaxed = {0};
    int64_t places = engine->model->problem->remainder.places;
    if (!scope_make(engine->model, NULL, NULL, places == CUTTING_UNLIMITED ? INT64_MAX : places,
                    node->decisions, node->decision_count, &scope)) {
        engine->no_memory = true;
        return;
    }
    scope.waste = engine_waste(engine);
    bool fine = relax(engine, &scope, node->start, node->start_count, &relaxed);
    engine->no_memory = engine->no_memory || !fine;
    tree->visited++;
    if (fine && !hopeless(engine, relaxed.bound) && relaxed.bound != INT64_MAX) {
        if (!relaxed.converged) {
            if (node->bound < tree->unresolved)
                tree->unresolved = node->bound;
        } else {
            bool whole = primal_integral(engine, &relaxed);
            if (!whole && tree->visited % 8 == 1)
                primal_round(engine, &scope, &relaxed);
            if (!hopeless(engine, relaxed.bound))
                split(tree, node, &scope, &relaxed);
        }
    }
    relaxed_free(&relaxed);
    scope_free(&scope);
}

static int64_t least_open(const struct tree *tree) {
    int64_t least = tree->unresolved;
    for (const struct node *node = tree->top; node != NULL; node = node->below)
        if (node->bound < least)
            least = node->bound;
    return least;
}

int64_t branch_search(struct engine *engine, const struct relaxed *root) {
    struct tree tree = {.engine = engine, .unresolved = INT64_MAX};
    struct cutting_certificate *certificate = engine->certificate;
    engine->certificate = NULL;
    if (!push(&tree, NULL, NULL, engine->bound, root->near, root->near_count))
        engine->no_memory = true;
    while (tree.top != NULL && !engine->no_memory && !watch_over(engine->watch, 1)) {
        struct node *node = tree.top;
        tree.top = node->below;
        tree.bytes -= node_bytes(node);
        if (!hopeless(engine, node->bound)) {
            visit(&tree, node);
            if (engine->watch->over && node->bound < tree.unresolved)
                tree.unresolved = node->bound;
        }
        node_free(node);
        size_t pairs = tree.together_types * tree.together_types * sizeof *tree.together;
        watch_room(engine->watch, tree.bytes + pairs + pool_bytes(&engine->pool));
    }
    int64_t bound = least_open(&tree);
    if (engine->has_best && bound > engine->target)
        bound = engine->target;
    while (tree.top != NULL) {
        struct node *node = tree.top;
        tree.top = node->below;
        node_free(node);
    }
    free(tree.together);
    engine->certificate = certificate;
    return bound;
}
