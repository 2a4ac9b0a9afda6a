/* Prices from the middle: what they prove and what they leave to choose from, beside the relaxation's own prices.
 * SPDX-License-Identifier: Apache-2.0 */
#include "cutting/bound.h"
#include "cutting/enumerate.h"
#include "cutting/search.h"
#include "cutting/watch.h"
#include "support.h"

#include <stdlib.h>

enum { PATTERNS_MOST = 200000, SEEDS = 60 };

struct case_at_hand {
    struct cutting_problem problem;
    struct model model;
    struct cutting_options options;
    struct watch watch;
    struct engine engine;
    struct scope scope;
};

static void make(struct case_at_hand *at, const json_t *document) {
    struct fault fault;
    *at = (struct case_at_hand){0};
    cr_assert(cutting_problem_read(document, &at->problem, &fault), "%s: %s", fault.where, fault.message);
    cr_assert(model_make(&at->problem, &(struct model_wish){0}, &at->model, &fault), "%s", fault.message);
    at->options = cutting_options_default();
    at->options.seconds = 0;
    at->options.clock = NULL;
    watch_start(&at->watch, &at->options);
    at->engine = (struct engine){.model = &at->model,
                                 .watch = &at->watch,
                                 .target = INT64_MAX,
                                 .step = bound_step(&at->model),
                                 .bound = INT64_MIN};
    pool_make(&at->model, &at->engine.pool);
    int64_t places = at->problem.remainder.places;
    cr_assert(scope_make(&at->model, NULL, NULL, places == CUTTING_UNLIMITED ? INT64_MAX : places, NULL, 0,
                         &at->scope));
}

static void clear(struct case_at_hand *at) {
    scope_free(&at->scope);
    pool_free(&at->engine.pool);
    layout_free(&at->engine.best);
    model_free(&at->model);
    cutting_problem_free(&at->problem);
}

/* The relaxation with prices of either kind, and the patterns that a plan of `cost` or less could use. */
static size_t list_with(struct case_at_hand *at, bool central, int64_t cost, struct relaxed *relaxed,
                        struct choice_list *list) {
    at->engine.central = central;
    at->engine.has_best = false;
    cr_assert(relax(&at->engine, &at->scope, NULL, 0, relaxed));
    cr_assert(relaxed->converged);
    at->engine.has_best = true;
    at->engine.target = cost + at->engine.step;
    cr_assert(enumerate_patterns(&at->engine, &at->scope, relaxed, PATTERNS_MOST, list));
    at->engine.target = INT64_MAX;
    return list->count;
}

static int by_type(const void *left, const void *right) {
    return ((const struct layout_part *)left)->type - ((const struct layout_part *)right)->type;
}

/* The number of a bar's pattern in the pool. */
static int32_t pattern_of(struct case_at_hand *at, struct layout *layout, const struct layout_bar *bar) {
    struct layout_part *parts = layout->parts + bar->first;
    qsort(parts, bar->parts, sizeof *parts, by_type);
    return pool_add(&at->engine.pool, bar->stock, bar->returns, parts, bar->parts);
}

static bool holds(const struct choice_list *list, int32_t number) {
    for (size_t i = 0; i < list->count; i++)
        if (list->patterns[i] == number)
            return true;
    return false;
}

/* Whatever prices: the bound holds, and what is left to choose from has the best plan in it. */
static void expect_best_kept(struct case_at_hand *at, struct finding *finding, bool central,
                             const char *what) {
    struct relaxed relaxed;
    struct choice_list list;
    list_with(at, central, finding->layout.cost, &relaxed, &list);
    cr_assert_leq(relaxed.bound, finding->layout.cost, "%s: bound %ld, cost %ld", what, (long)relaxed.bound,
                  (long)finding->layout.cost);
    for (size_t i = 0; i < finding->layout.bar_count; i++)
        cr_assert(holds(&list, pattern_of(at, &finding->layout, &finding->layout.bars[i])),
                  "%s: bar %zu of the best plan is left out", what, i);
    free(list.patterns);
    relaxed_free(&relaxed);
}

Test(centre, the_best_plan_is_among_what_is_left) {
    int compared = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        char what[32];
        snprintf(what, sizeof what, "seed %d", (int)seed);
        json_t *document = random_problem(seed, 8);
        struct case_at_hand at;
        struct finding finding;
        struct fault fault;
        make(&at, document);
        cr_assert(search_best(&at.model, &at.watch, &finding, &fault), "%s: %s", what, fault.message);
        if (at.model.type_count > 0 && finding.layout.unmet == 0) {
            expect_best_kept(&at, &finding, false, what);
            expect_best_kept(&at, &finding, true, what);
            compared++;
        }
        finding_free(&finding);
        clear(&at);
        json_decref(document);
    }
    cr_assert_gt(compared, SEEDS / 2, "%d compared", compared);
}

/* Every bar is full in a plan of the least cost, so that lengths themselves prove the bound, and many other prices do too: a
 * corner of these and their middle differ. Both kinds are the same at the end of each relaxation, in patterns at hand. */
Test(centre, the_middle_leaves_fewer_to_choose_from) {
    json_t *document = parse("{\"kerf\":0, \"bars\":[{\"name\":\"B\", \"length\":100}], \"pieces\":[]}");
    static const int lengths[] = {71, 29, 67, 33, 61, 39, 59, 41, 53, 47, 50,
                                  43, 57, 37, 63, 31, 69, 23, 77, 19, 81};
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        char name[16];
        snprintf(name, sizeof name, "P%zu", i);
        json_array_append_new(
            json_object_get(document, "pieces"),
            json_pack("{s:s, s:i, s:i}", "name", name, "length", lengths[i], "quantity", 2));
    }
    struct case_at_hand at;
    make(&at, document);
    int64_t cost = 0;
    for (size_t i = 0; i < at.model.type_count; i++)
        cost += at.model.types[i].width * at.model.types[i].demand;
    cr_assert_eq(cost % at.model.stocks[0].capacity, 0, "the pieces fill whole bars");
    size_t counts[2];
    for (int central = 0; central < 2; central++) {
        struct relaxed relaxed;
        struct choice_list list;
        counts[central] = list_with(&at, central, cost, &relaxed, &list);
        cr_assert_eq(relaxed.bound, cost, "the lengths prove it");
        free(list.patterns);
        relaxed_free(&relaxed);
    }
    cr_assert_lt(counts[1], counts[0], "%zu with the middle, %zu with the corner", counts[1], counts[0]);
    clear(&at);
    json_decref(document);
}
