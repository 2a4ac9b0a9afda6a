/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/finish.h"

#include "cutting/primal.h"
#include "cutting/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROOT_ROUNDS = 30, NODE_ROUNDS = 2, CUTS_A_ROUND = 24 };

struct node {
    struct node *below; /* on the stack */
    int64_t bound;
    size_t limit_count;
    struct limit *limits;
};

struct tree {
    struct engine *engine;
    struct program program;
    struct node *top;
    int64_t unresolved;
    int64_t narrowed; /* the target when columns were ruled out last */
    bool deeper;      /* the last visit left children */
    double *pairs;
};

static void node_free(struct node *node) {
    free(node->limits);
    free(node);
}

static void push(struct tree *tree, const struct node *parent, const struct limit *limit, int64_t bound) {
    size_t inherited = parent ? parent->limit_count : 0;
    struct node *node = calloc(1, sizeof *node);
    if (node != NULL)
        node->limits = malloc((inherited + 1) * sizeof *node->limits);
    if (node == NULL || node->limits == NULL) {
        free(node);
        tree->engine->no_memory = true;
        return;
    }
    if (inherited > 0)
        memcpy(node->limits, parent->limits, inherited * sizeof *node->limits);
    node->limit_count = inherited + (limit != NULL);
    if (limit != NULL)
        node->limits[inherited] = *limit;
    node->bound = bound;
    node->below = tree->top;
    tree->top = node;
}

static double fraction(double value) {
    return value - floor(value + 1e-6);
}

static double centre(double value) {
    double part = fraction(value);
    return part < 0.5 ? part : 1 - part;
}

static bool split_stock(const struct tree *tree, struct limit *limit) {
    const struct program *program = &tree->program;
    double *used = calloc(program->stocks + 1, sizeof *used), best = 1e-4;
    if (used == NULL) {
        free(used);
        return false;
    }
    for (size_t i = 0; i < program->columns; i++)
        used[program_pattern(program, i)->stock] += program->use[i];
    for (size_t i = 0; i < program->stocks; i++)
        if (centre(used[i]) > best) {
            best = centre(used[i]);
            bool up = fraction(used[i]) >= 0.5;
            *limit = (struct limit){up ? LIMIT_STOCK_LEAST : LIMIT_STOCK_MOST, (int32_t)i, 0,
                                    (int64_t)floor(used[i] + 1e-6) + up};
        }
    free(used);
    return best > 1e-4;
}

/* Two types of demand 1 that lie together in part. */
static bool split_pair(struct tree *tree, struct limit *limit) {
    const struct program *program = &tree->program;
    const struct model *model = tree->engine->model;
    size_t types = program->types;
    double best = 1e-4;
    memset(tree->pairs, 0, types * types * sizeof *tree->pairs);
    for (size_t i = 0; i < program->columns; i++) {
        if (program->use[i] < 1e-6)
            continue;
        const struct pattern *pattern = program_pattern(program, i);
        const struct layout_part *parts = tree->engine->pool.parts + pattern->first;
        for (size_t p = 0; p < pattern->parts; p++)
            for (size_t q = p + 1; q < pattern->parts; q++)
                if (model->types[parts[p].type].demand == 1 && model->types[parts[q].type].demand == 1)
                    tree->pairs[(size_t)parts[p].type * types + (size_t)parts[q].type] += program->use[i];
    }
    for (size_t i = 0; i < types; i++)
        for (size_t j = i + 1; j < types; j++)
            if (centre(tree->pairs[i * types + j]) > best) {
                best = centre(tree->pairs[i * types + j]);
                *limit = (struct limit){LIMIT_TOGETHER, (int32_t)i, (int32_t)j, 0};
            }
    return best > 1e-4;
}

static bool split_use(const struct tree *tree, struct limit *limit) {
    const struct program *program = &tree->program;
    double best = 1e-5;
    for (size_t i = 0; i < program->columns; i++)
        if (centre(program->use[i]) > best) {
            best = centre(program->use[i]);
            *limit =
                (struct limit){LIMIT_USE_LEAST, (int32_t)i, 0, (int64_t)floor(program->use[i] + 1e-6) + 1};
        }
    return best > 1e-5;
}

static struct limit opposite(const struct limit *limit) {
    static const enum limit_kind kinds[] = {LIMIT_APART,      LIMIT_TOGETHER,  LIMIT_STOCK_LEAST,
                                            LIMIT_STOCK_MOST, LIMIT_USE_LEAST, LIMIT_USE_MOST};
    struct limit other = *limit;
    other.kind = kinds[limit->kind];
    bool most = limit->kind == LIMIT_STOCK_MOST || limit->kind == LIMIT_USE_MOST;
    other.count += most ? 1 : -1;
    return other;
}

static bool hopeless(const struct engine *engine, int64_t bound) {
    return engine->has_best && bound >= engine->target;
}

/* The node's solution as the heuristics want it. */
static bool relaxed_from(const struct program *program, struct relaxed *relaxed) {
    *relaxed = (struct relaxed){.whole = true, .converged = true};
    relaxed->patterns = malloc((program->columns + 1) * sizeof *relaxed->patterns);
    relaxed->values = malloc((program->columns + 1) * sizeof *relaxed->values);
    if (relaxed->patterns == NULL || relaxed->values == NULL)
        return false;
    for (size_t i = 0; i < program->columns; i++)
        if (program->use[i] > 1e-9) {
            relaxed->patterns[relaxed->count] = program->list->patterns[i];
            relaxed->values[relaxed->count++] = program->use[i];
        }
    return true;
}

/* Takes a whole solution; of another one, what rounding gives when `round`. True when it was whole. */
static bool offer_solution(struct tree *tree, bool round) {
    struct relaxed relaxed;
    bool whole = false;
    if (!relaxed_from(&tree->program, &relaxed))
        tree->engine->no_memory = true;
    else
        whole = primal_integral(tree->engine, &relaxed);
    if (!whole && round && !tree->engine->no_memory)
        primal_round(tree->engine, NULL, &relaxed);
    relaxed_free(&relaxed);
    return whole;
}

/* Down while it goes down; then where the bound is least. */
static struct node *take_next(struct tree *tree) {
    struct node **least = &tree->top;
    for (struct node **at = &tree->top; !tree->deeper && *at != NULL; at = &(*at)->below)
        if ((*at)->bound < (*least)->bound)
            least = at;
    struct node *node = *least;
    *least = node->below;
    return node;
}

/* A better plan rules out columns by what the root knew of them. */
static void narrow(struct tree *tree) {
    if (tree->program.remembered && tree->engine->has_best && tree->engine->target < tree->narrowed) {
        program_rule_out(&tree->program, tree->program.root_reduced, tree->program.root_sum);
        tree->narrowed = tree->engine->target;
    }
}

static void visit(struct tree *tree, const struct node *node) {
    struct program *program = &tree->program;
    struct engine *engine = tree->engine;
    bool root = node->limit_count == 0;
    int64_t bound = node->bound;
    if (!root)
        narrow(tree);
    program_limit(program, node->limits, node->limit_count);
    for (int round = 0;; round++) {
        if (!program_solve(program)) {
            if (bound < tree->unresolved)
                tree->unresolved = bound;
            return;
        }
        int64_t now = program_bound(program);
        if (now > bound)
            bound = now;
        if (hopeless(engine, bound))
            return;
        if (offer_solution(tree, root && round % 4 == 0) || hopeless(engine, bound))
            break;
        if (root && engine->has_best) {
            program_remember(program);
            program_rule_out(program, program->root_reduced, program->root_sum);
            program_limit(program, NULL, 0);
        }
        if (round >= (root ? ROOT_ROUNDS : NODE_ROUNDS) || watch_over(engine->watch, 1) ||
            program_cut(program, CUTS_A_ROUND) == 0)
            break;
    }
    if (hopeless(engine, bound))
        return;
    struct limit limit = {0};
    if (watch_over(engine->watch, 1) ||
        !(split_stock(tree, &limit) || split_pair(tree, &limit) || split_use(tree, &limit))) {
        if (bound < tree->unresolved)
            tree->unresolved = bound;
        return;
    }
    struct limit other = opposite(&limit);
    push(tree, node, &other, bound);
    push(tree, node, &limit, bound);
    tree->deeper = true;
}

int64_t finish_search(struct engine *engine, const struct choice_list *list) {
    struct tree tree = {.engine = engine, .unresolved = INT64_MAX, .narrowed = INT64_MAX};
    bool fine = program_make(engine, list, &tree.program);
    tree.pairs = malloc((engine->model->type_count * engine->model->type_count + 1) * sizeof *tree.pairs);
    engine->no_memory = engine->no_memory || !fine || tree.pairs == NULL;
    push(&tree, NULL, NULL, engine->bound);
    while (tree.top != NULL && !engine->no_memory && !watch_over(engine->watch, 1)) {
        struct node *node = take_next(&tree);
        tree.deeper = false;
        if (!hopeless(engine, node->bound))
            visit(&tree, node);
        node_free(node);
    }
    int64_t bound = tree.unresolved;
    while (tree.top != NULL) {
        struct node *node = tree.top;
        tree.top = node->below;
        if (node->bound < bound)
            bound = node->bound;
        node_free(node);
    }
    program_free(&tree.program);
    free(tree.pairs);
    return engine->has_best && bound > engine->target ? engine->target : bound;
}
