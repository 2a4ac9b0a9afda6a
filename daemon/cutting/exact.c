/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/exact.h"

#include "cutting/bound.h"
#include "cutting/branch.h"
#include "cutting/enumerate.h"
#include "cutting/finish.h"
#include "cutting/primal.h"
#include "cutting/small.h"

#include <stdlib.h>

/* A program holds about so many bytes for each pattern. */
enum { DIVES = 3, LIST_FEW = 150, LIST_MOST = 30000, PROGRAM_BYTES = 1000 };

static bool done(const struct engine *engine) {
    return engine->no_memory || engine->watch->over || (engine->has_best && engine->bound >= engine->target);
}

/* The patterns of the best plan so far as numbers in the pool, both with and without the remainder going
 * back. */
static int32_t *first_patterns(struct engine *engine, size_t *count) {
    const struct layout *layout = &engine->best;
    int32_t *numbers = malloc((layout->bar_count + 1) * sizeof *numbers);
    *count = 0;
    for (size_t i = 0; numbers != NULL && i < layout->bar_count; i++) {
        const struct layout_bar *bar = &layout->bars[i];
        int32_t number =
            pool_add(&engine->pool, bar->stock, bar->returns, layout->parts + bar->first, bar->parts);
        if (number >= 0)
            numbers[(*count)++] = number;
    }
    return numbers;
}

static void raise_bound(struct engine *engine, int64_t bound, enum cutting_proof proof,
                        struct finding *finding) {
    if (bound == INT64_MIN || bound <= engine->bound)
        return;
    if (engine->has_best && bound > engine->target)
        bound = engine->target;
    engine->bound = bound;
    finding->proof = proof;
    watch_tell(engine->watch, proof == CUTTING_PROOF_SEARCH ? "search" : "prices", engine->target, bound,
               engine->has_best);
}

static void round_midway(struct engine *engine, const struct scope *scope, const struct relaxed *relaxed) {
    primal_integral(engine, relaxed);
    primal_round(engine, scope, relaxed);
}

static bool relax_root(struct engine *engine, struct relaxed *root, struct scope *scope,
                       struct finding *finding) {
    size_t count;
    int32_t *start = first_patterns(engine, &count);
    engine->midway = round_midway;
    bool fine = start != NULL && relax(engine, scope, start, count, root);
    engine->midway = NULL;
    free(start);
    if (fine)
        raise_bound(engine, root->bound, CUTTING_PROOF_PRICES, finding);
    return fine;
}

static int64_t search_small(struct engine *engine, const struct choice_list *list) {
    struct columns columns;
    struct small_bounds bounds;
    /* Where costs come in steps of whole bars, cuts close more than branches do. */
    if (engine->step > 1 || !small_enough(engine->model, list->count) ||
        !columns_from(engine, list, &columns))
        return finish_search(engine, list);
    struct cutting_certificate *certificate = engine->certificate;
    engine->certificate = NULL; /* the list is not all */
    small_search(engine, &columns, &bounds);
    engine->certificate = certificate;
    columns_free(&columns);
    return bounds.bound;
}

/* When the patterns that a better plan could use are few, `most`, they are searched as a program of their own. False
 * when they are more. */
static bool search_listed(struct engine *engine, struct scope *scope, const struct relaxed *root, size_t most,
                          struct finding *finding) {
    struct choice_list list;
    scope->waste = engine_waste(engine);
    size_t types = engine->model->type_count;
    bool all = enumerate_patterns(engine, scope, root, most, &list);
    all = all && watch_room(engine->watch, pool_bytes(&engine->pool) + list.count * PROGRAM_BYTES +
                                               types * types * sizeof(double));
    if (all)
        raise_bound(engine, search_small(engine, &list), CUTTING_PROOF_SEARCH, finding);
    free(list.patterns);
    return all;
}

/* The relaxation once more, with what the plan found since tells of the waste, and prices from the middle. Its bound takes
 * the place of the first one's where it is better. */
static void search_centre(struct engine *engine, struct scope *scope, const struct relaxed *root,
                          struct finding *finding) {
    struct relaxed centre = {0};
    struct cutting_certificate certificate = {0};
    scope->waste = engine_waste(engine);
    engine->certificate = &certificate;
    engine->central = true;
    bool fine = relax(engine, scope, root->near, root->near_count, &centre);
    engine->central = false;
    engine->certificate = &finding->certificate;
    engine->no_memory = engine->no_memory || !fine;
    if (fine && centre.bound > engine->bound && certificate.lengths != NULL) {
        struct cutting_certificate other = finding->certificate;
        finding->certificate = certificate;
        certificate = other;
        raise_bound(engine, centre.bound, CUTTING_PROOF_PRICES, finding);
    }
    if (!done(engine) && engine->has_best && centre.converged)
        search_listed(engine, scope, &centre, LIST_MOST, finding);
    free(certificate.lengths);
    free(certificate.prices);
    relaxed_free(&centre);
}

static void improve(struct engine *engine, struct scope *scope, struct finding *finding) {
    struct relaxed root = {0};
    scope->waste = engine_waste(engine);
    if (!relax_root(engine, &root, scope, finding)) {
        engine->no_memory = true;
        return;
    }
    if (root.count > 0 && !engine->no_memory && !engine->watch->ended &&
        !(engine->has_best && engine->bound >= engine->target)) {
        primal_integral(engine, &root);
        primal_round(engine, scope, &root);
    }
    if (!done(engine) && root.converged) {
        bool few = engine->has_best && search_listed(engine, scope, &root, LIST_FEW, finding);
        for (uint64_t dive = 0; !few && dive < DIVES && !done(engine); dive++)
            primal_dive(engine, &root, dive);
        if (!done(engine) && engine->has_best && !few &&
            !search_listed(engine, scope, &root, LIST_MOST, finding) && !done(engine))
            search_centre(engine, scope, &root, finding);
        if (!done(engine))
            raise_bound(engine, branch_search(engine, &root), CUTTING_PROOF_SEARCH, finding);
    }
    relaxed_free(&root);
}

static struct engine engine_of(const struct model *model, struct watch *watch, struct finding *finding) {
    bool whole = finding->layout.unmet == 0;
    struct engine engine = {.model = model,
                            .watch = watch,
                            .best = finding->layout,
                            .has_best = whole,
                            .target = whole ? finding->layout.cost : INT64_MAX,
                            .bound = finding->bound,
                            .step = bound_step(model),
                            .certificate = &finding->certificate};
    pool_make(model, &engine.pool);
    return engine;
}

bool exact_improve(const struct model *model, struct watch *watch, struct finding *finding,
                   struct fault *fault) {
    struct engine engine = engine_of(model, watch, finding);
    struct scope scope;
    int64_t places = model->problem->remainder.places;
    bool fine =
        scope_make(model, NULL, NULL, places == CUTTING_UNLIMITED ? INT64_MAX : places, NULL, 0, &scope);
    if (fine)
        improve(&engine, &scope, finding);
    finding->layout = engine.best;
    finding->bound = engine.bound;
    scope_free(&scope);
    pool_free(&engine.pool);
    return (fine && !engine.no_memory) || fault_memory(fault);
}

bool exact_small(const struct model *model, const struct columns *columns, struct watch *watch,
                 struct finding *finding, struct fault *fault) {
    struct engine engine = engine_of(model, watch, finding);
    struct small_bounds bounds;
    small_search(&engine, columns, &bounds);
    raise_bound(&engine, bounds.root, CUTTING_PROOF_PRICES, finding);
    raise_bound(&engine, bounds.bound, CUTTING_PROOF_SEARCH, finding);
    finding->layout = engine.best;
    finding->bound = engine.bound;
    pool_free(&engine.pool);
    return !engine.no_memory || fault_memory(fault);
}
