/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/match.h"

#include "cutting/bound.h"
#include "cutting/enumerate.h"
#include "cutting/match_program.h"

#include <stdlib.h>
#include <string.h>

/* Beyond so many pieces times batches, or types, a choice is made by heuristics alone. */
enum { LINES_MOST = 30000, TYPES_MOST = 1500 };
/* Steps of search for the best plan of one choice of batches, beside what was spent before; patterns in a program. */
enum { CHOICE_WORK = 500000, LIST_MOST = 12000 };
/* The first target of the program lies this part of the way from bound to best plan, then four times as far. */
enum { FIRST_PART = 16 };

struct matching {
    const struct cutting_problem *problem;
    const int64_t *wanted;
    struct batches *batches;
    struct watch *watch;
    struct finding *best;
    struct fault *fault;
    struct wide wide;
    struct engine engine; /* of the wide model */
    struct scope scope;
    int64_t target; /* the best plan's cost; while there is none, more than any could cost */
};

static bool best_known(const struct matching *work) {
    return work->target <= work->best->bound;
}

static void raise_bound(struct matching *work, int64_t bound) {
    if (bound == INT64_MIN || bound <= work->best->bound)
        return;
    work->best->bound = bound;
    work->best->proof = CUTTING_PROOF_SEARCH;
}

static void tell(const struct matching *work) {
    watch_tell(work->watch, "search", work->best->layout.cost, work->best->bound, true);
}

/* The most that a plan could cost: each bar that there is, no more of a kind than there are pieces. */
static int64_t dearest(const struct model *model) {
    __int128 pieces = 0, sum = 0;
    for (size_t i = 0; i < model->type_count; i++)
        pieces += model->types[i].demand;
    for (size_t i = 0; i < model->stock_count; i++) {
        bool few = model->stocks[i].supply != CUTTING_UNLIMITED && model->stocks[i].supply < pieces;
        sum += model->stocks[i].cost * (few ? model->stocks[i].supply : pieces);
    }
    return sum < CUTTING_COST_MOST ? (int64_t)sum : CUTTING_COST_MOST;
}

static void note_best(struct matching *work) {
    batches_keep(work->batches);
    if (work->best->layout.unmet > 0)
        return;
    work->target = work->best->layout.cost;
    tell(work);
}

static bool layout_for_choice(const struct matching *work, struct watch *watch, struct finding *found) {
    struct model model;
    struct model_wish wish = {work->wanted, work->batches->of_piece, work->batches->of_bar, false};
    if (!model_make(work->problem, &wish, &model, work->fault))
        return false;
    bool fine = search_best(&model, watch, found, work->fault);
    model_free(&model);
    return fine;
}

/* The best plan for the batches chosen now; kept with them where it is better than the best so far. */
static bool try_choice(struct matching *work, bool first, int64_t most_work) {
    struct finding found = {.proof = CUTTING_PROOF_NONE};
    struct cutting_options options;
    struct watch part;
    watch_part(work->watch, most_work, &options, &part);
    bool fine = layout_for_choice(work, most_work > 0 ? &part : work->watch, &found);
    if (most_work > 0)
        watch_end_part(work->watch, &part);
    if (!fine)
        return false;
    if (first || layout_better(&found.layout, &work->best->layout)) {
        struct layout better = found.layout;
        found.layout = work->best->layout;
        work->best->layout = better;
        note_best(work);
    }
    finding_free(&found);
    return true;
}

/* Of each group the batch that the relaxation takes most of. */
static void choose_most_taken(struct matching *work, const struct relaxed *relaxed) {
    const struct wide *wide = &work->wide;
    for (size_t g = 0, at = 0; g < wide->joins.count; at += wide->joins.choices[g++].count) {
        size_t most = 0;
        for (size_t a = 1; a < wide->joins.choices[g].count; a++)
            if (relaxed->taken[at + a] > relaxed->taken[at + most])
                most = a;
        work->batches->chosen[wide->group_of[g]] = wide->batch_of[g][most];
    }
    batches_spread(work->batches);
}

/* One program: nothing costs less than `target`, or what does. False for want of memory. */
static bool search_below(struct matching *work, const struct relaxed *relaxed, int64_t target, bool *complete,
                         bool *better) {
    struct engine *engine = &work->engine;
    struct choice_list list;
    struct layout layout = {0};
    int64_t bound = INT64_MIN;
    engine->target = target;
    *better = false;
    *complete = enumerate_patterns(engine, &work->scope, relaxed, LIST_MOST, &list);
    bool fine = !engine->no_memory;
    if (fine && *complete)
        fine = match_program(engine, &work->wide, &list, work->best->bound, work->problem, work->wanted,
                             work->batches, &bound, better, &layout);
    free(list.patterns);
    if (fine && *complete) {
        raise_bound(work, bound);
        *complete = bound >= target || *better;
    }
    if (fine && *better && layout_better(&layout, &work->best->layout)) {
        layout_free(&work->best->layout);
        work->best->layout = layout;
        note_best(work);
        return true;
    }
    *better = false;
    layout_free(&layout);
    return fine || fault_memory(work->fault);
}

/* Targets that rise from the bound to the best plan: each is refuted, or a better plan found. */
static bool close_gap(struct matching *work, const struct relaxed *relaxed) {
    int64_t part = FIRST_PART;
    while (part > 0 && !best_known(work) && !watch_over(work->watch, 1)) {
        int64_t gap = work->target - work->best->bound, step = work->engine.step;
        int64_t target = work->best->bound + bound_round_up(gap / part > step ? gap / part : step, step);
        bool complete, better;
        if (target > work->target)
            target = work->target;
        if (!search_below(work, relaxed, target, &complete, &better))
            return false;
        if (!complete)
            return true;
        part = better || part == 1 ? part : part / 4;
    }
    return true;
}

static bool improve(struct matching *work) {
    struct engine *engine = &work->engine;
    struct relaxed relaxed = {0};
    if (work->best->layout.unmet > 0)
        work->target = dearest(&work->wide.model) + engine->step;
    engine->target = work->target;
    bool fine = relax(engine, &work->scope, NULL, 0, &relaxed) || fault_memory(work->fault);
    if (fine && relaxed.bound != INT64_MAX)
        raise_bound(work, relaxed.bound);
    if (fine && relaxed.converged && !best_known(work) && !watch_over(work->watch, 1)) {
        choose_most_taken(work, &relaxed);
        fine = try_choice(work, false, CHOICE_WORK);
        if (fine)
            fine = close_gap(work, &relaxed);
    }
    relaxed_free(&relaxed);
    return fine;
}

static bool make_engine(struct matching *work) {
    const struct model *model = &work->wide.model;
    int64_t places = work->problem->remainder.places;
    work->engine = (struct engine){.model = model,
                                   .watch = work->watch,
                                   .has_best = true,
                                   .bound = work->best->bound,
                                   .step = bound_step(model)};
    pool_make(model, &work->engine.pool);
    bool fine = scope_make(model, NULL, NULL, places == CUTTING_UNLIMITED ? INT64_MAX : places, NULL, 0,
                           &work->scope);
    work->scope.joins = &work->wide.joins;
    return fine || fault_memory(work->fault);
}

/* The search for a better plan that knows of every choice. */
static bool search_choices(struct matching *work) {
    bool fine = wide_make(work->problem, work->wanted, work->batches, &work->wide, work->fault);
    if (fine && !work->wide.none && work->wide.model.type_count <= TYPES_MOST) {
        fine = make_engine(work) && improve(work);
        scope_free(&work->scope);
        pool_free(&work->engine.pool);
    }
    wide_free(&work->wide);
    return fine;
}

static bool small_enough(const struct matching *work) {
    int64_t pieces = 0;
    for (size_t i = 0; i < work->problem->piece_count && pieces <= LINES_MOST; i++)
        pieces += work->batches->group_of[i] >= 0 ? work->wanted[i] : 0;
    return pieces <= LINES_MOST && pieces * (int64_t)work->batches->batch_count <= LINES_MOST;
}

bool match_best(const struct cutting_problem *problem, const int64_t *wanted, struct batches *batches,
                const struct cutting_plan *plan, int64_t floor, struct watch *watch, struct finding *finding,
                struct fault *fault) {
    *finding = (struct finding){.bound = floor, .proof = CUTTING_PROOF_NONE};
    struct matching work = {.problem = problem,
                            .wanted = wanted,
                            .batches = batches,
                            .watch = watch,
                            .target = INT64_MAX,
                            .best = finding,
                            .fault = fault};
    bool exact = small_enough(&work);
    int64_t before = watch->work;
    bool fine = batches_choose(problem, wanted, plan, watch, batches, fault) &&
                try_choice(&work, true, exact ? before + CHOICE_WORK : 0);
    if (fine && exact && !best_known(&work) && !watch_over(watch, 1))
        fine = search_choices(&work);
    if (!fine) {
        finding_free(finding);
        return false;
    }
    batches_restore(batches);
    return true;
}
