/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/join.h"

#include "cutting/bound.h"
#include "cutting/relax.h"
#include "cutting/search.h"

#include <stdlib.h>
#include <string.h>

/* Passes of each question to the heuristics, and rounds over all joins. */
enum { PASSES = 1, ROUNDS = 2 };

static bool copy_problem(const struct cutting_problem *problem, size_t more_pieces,
                         struct cutting_problem *copy) {
    *copy = *problem;
    copy->joins = NULL;
    copy->join_count = 0;
    copy->previous = NULL;
    copy->previous_pieces = NULL;
    copy->previous_count = 0;
    copy->bars = malloc((problem->bar_count + 1) * sizeof *copy->bars);
    copy->pieces = calloc(problem->piece_count + more_pieces + 1, sizeof *copy->pieces);
    if (copy->bars == NULL || copy->pieces == NULL) {
        cutting_problem_free(copy);
        return false;
    }
    memcpy(copy->bars, problem->bars, problem->bar_count * sizeof *copy->bars);
    memcpy(copy->pieces, problem->pieces, problem->piece_count * sizeof *copy->pieces);
    return true;
}

void join_take(const struct cutting_problem *problem, size_t join, size_t alternative,
               struct cutting_problem *fixed) {
    const struct cutting_join *given = &problem->joins[join];
    for (size_t i = 0; i < given->count; i++)
        fixed->pieces[given->pieces[i]].length = given->lengths[alternative][i];
}

/* A problem with every alternative's pieces: first the pieces in no join, then one line for each length. */
static bool widen(const struct cutting_problem *problem, struct cutting_problem *wide, size_t *base_lines) {
    size_t more = 0;
    for (size_t g = 0; g < problem->join_count; g++)
        more += problem->joins[g].count * problem->joins[g].alternatives;
    if (!copy_problem(problem, more, wide))
        return false;
    for (size_t g = 0; g < problem->join_count; g++)
        for (size_t i = 0; i < problem->joins[g].count; i++)
            wide->pieces[problem->joins[g].pieces[i]].quantity = 0;
    *base_lines = wide->piece_count;
    for (size_t g = 0; g < problem->join_count; g++)
        for (size_t a = 0; a < problem->joins[g].alternatives; a++)
            for (size_t i = 0; i < problem->joins[g].count; i++)
                wide->pieces[wide->piece_count++] =
                    (struct cutting_piece){.length = problem->joins[g].lengths[a][i], .quantity = 1};
    return true;
}

static int32_t type_of(const struct model *model, ell_length length) {
    int64_t width = length + model->problem->saw.kerf;
    size_t low = 0, high = model->type_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (model->types[middle].width > width)
            low = middle + 1;
        else
            high = middle;
    }
    return low < model->type_count && model->types[low].width == width ? (int32_t)low : -1;
}

static void joins_free(struct joins *joins) {
    for (size_t g = 0; joins->choices != NULL && g < joins->count; g++)
        free(joins->choices[g].types);
    free(joins->choices);
    free(joins->base);
}

/* False too when an alternative has a piece that nothing can give: the relaxation is then left out. */
static bool joins_make(const struct cutting_problem *problem, const struct cutting_problem *wide,
                       size_t base_lines, const struct model *model, struct joins *joins) {
    *joins = (struct joins){.count = problem->join_count,
                            .choices = calloc(problem->join_count + 1, sizeof *joins->choices),
                            .base = calloc(model->type_count + 1, sizeof *joins->base)};
    if (joins->choices == NULL || joins->base == NULL)
        return false;
    for (size_t i = 0; i < base_lines; i++) {
        int32_t type = wide->pieces[i].quantity > 0 ? type_of(model, wide->pieces[i].length) : -1;
        if (wide->pieces[i].quantity > 0 && type < 0)
            return false;
        if (type >= 0)
            joins->base[type] += wide->pieces[i].quantity;
    }
    for (size_t g = 0; g < joins->count; g++) {
        const struct cutting_join *given = &problem->joins[g];
        struct join_choice *choice = &joins->choices[g];
        *choice = (struct join_choice){given->alternatives, given->count,
                                       calloc(given->alternatives * given->count, sizeof *choice->types)};
        for (size_t a = 0; choice->types != NULL && a < given->alternatives; a++)
            for (size_t i = 0; i < given->count; i++)
                if ((choice->types[a * given->count + i] = type_of(model, given->lengths[a][i])) < 0)
                    return false;
        if (choice->types == NULL)
            return false;
    }
    return true;
}

static void most_taken(const struct joins *joins, const struct relaxed *relaxed, struct join_answer *answer) {
    size_t at = 0;
    for (size_t g = 0; g < joins->count; g++) {
        for (size_t a = 1; a < joins->choices[g].count; a++)
            if (relaxed->taken[at + a] > relaxed->taken[at + answer->chosen[g]])
                answer->chosen[g] = a;
        at += joins->choices[g].count;
    }
}

static void relax_joins(const struct model *model, const struct joins *joins, struct watch *watch,
                        struct join_answer *answer) {
    struct engine engine = {.model = model,
                            .watch = watch,
                            .target = INT64_MAX,
                            .step = bound_step(model),
                            .certificate = &answer->certificate};
    struct scope scope;
    struct relaxed relaxed = {0};
    int64_t places = model->problem->remainder.places;
    pool_make(model, &engine.pool);
    if (scope_make(model, NULL, NULL, places == CUTTING_UNLIMITED ? INT64_MAX : places, NULL, 0, &scope)) {
        scope.joins = joins;
        if (relax(&engine, &scope, NULL, 0, &relaxed) && relaxed.converged) {
            answer->bound = relaxed.bound == INT64_MAX ? INT64_MIN : relaxed.bound;
            most_taken(joins, &relaxed, answer);
        }
    }
    relaxed_free(&relaxed);
    scope_free(&scope);
    pool_free(&engine.pool);
}

static int64_t ask(const struct cutting_problem *fixed, struct watch *watch) {
    struct model model;
    struct layout layout = {0};
    struct fault fault;
    int64_t cost = INT64_MAX;
    if (!model_make(fixed, &(struct model_wish){0}, &model, &fault))
        return cost;
    if (search_quick(&model, PASSES, watch, &layout) && layout.unmet == 0)
        cost = layout.cost;
    layout_free(&layout);
    model_free(&model);
    return cost;
}

static void take_all(const struct cutting_problem *problem, const size_t *chosen,
                     struct cutting_problem *fixed) {
    for (size_t g = 0; g < problem->join_count; g++)
        join_take(problem, g, chosen == NULL ? 0 : chosen[g], fixed);
}

/* What the relaxation takes may be cut into more bars than what was asked for in the first place. */
static int64_t better_start(const struct cutting_problem *problem, struct watch *watch,
                            struct cutting_problem *fixed, struct join_answer *answer) {
    take_all(problem, NULL, fixed);
    int64_t first = ask(fixed, watch);
    take_all(problem, answer->chosen, fixed);
    int64_t relaxed = ask(fixed, watch);
    if (relaxed < first)
        return relaxed;
    for (size_t g = 0; g < problem->join_count; g++)
        answer->chosen[g] = 0;
    take_all(problem, answer->chosen, fixed);
    return first;
}

/* The first alternative is the preferred one: another is taken only where it saves. */
static void prefer_first(const struct cutting_problem *problem, struct watch *watch,
                         struct cutting_problem *fixed, struct join_answer *answer, int64_t best) {
    for (size_t g = 0; g < problem->join_count; g++) {
        if (answer->chosen[g] == 0 || watch_over(watch, 1))
            continue;
        join_take(problem, g, 0, fixed);
        if (ask(fixed, watch) <= best)
            answer->chosen[g] = 0;
        join_take(problem, g, answer->chosen[g], fixed);
    }
}

static void improve(const struct cutting_problem *problem, struct watch *watch, struct cutting_problem *fixed,
                    struct join_answer *answer) {
    int64_t best = better_start(problem, watch, fixed, answer);
    for (int round = 0; round < ROUNDS && best > answer->bound; round++) {
        bool better = false;
        for (size_t g = 0; g < problem->join_count; g++) {
            for (size_t a = 0;
                 a < problem->joins[g].alternatives && best > answer->bound && !watch_over(watch, 1); a++) {
                join_take(problem, g, a, fixed);
                int64_t now = a == answer->chosen[g] ? best : ask(fixed, watch);
                if (now < best) {
                    best = now;
                    answer->chosen[g] = a;
                    better = true;
                }
            }
            join_take(problem, g, answer->chosen[g], fixed);
        }
        if (!better)
            break;
    }
    prefer_first(problem, watch, fixed, answer, best);
}

bool join_choose(const struct cutting_problem *problem, struct watch *watch, struct cutting_problem *fixed,
                 struct join_answer *answer, struct fault *fault) {
    struct cutting_problem wide;
    struct model model;
    size_t base_lines;
    *answer = (struct join_answer){.bound = INT64_MIN, .every = INT64_MIN};
    answer->chosen = calloc(problem->join_count + 1, sizeof *answer->chosen);
    if (answer->chosen == NULL || !copy_problem(problem, 0, fixed)) {
        join_answer_free(answer);
        return fault_memory(fault);
    }
    bool fine = widen(problem, &wide, &base_lines) || fault_memory(fault);
    if (fine && (fine = model_make(&wide, &(struct model_wish){0}, &model, fault))) {
        struct joins joins;
        if (joins_make(problem, &wide, base_lines, &model, &joins))
            relax_joins(&model, &joins, watch, answer);
        joins_free(&joins);
        model_free(&model);
    }
    if (fine) {
        cutting_problem_free(&wide);
        improve(problem, watch, fixed, answer);
        return true;
    }
    cutting_problem_free(fixed);
    join_answer_free(answer);
    return false;
}

void join_answer_free(struct join_answer *answer) {
    free(answer->chosen);
    free(answer->certificate.lengths);
    free(answer->certificate.prices);
    *answer = (struct join_answer){0};
}
