/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/enumerate.h"

#include <math.h>
#include <stdlib.h>

struct listing {
    struct engine *engine;
    struct choice_list *list;
    size_t most;
    int32_t stock;
    bool back;
};

static bool take(void *data, const struct layout_part *parts, size_t part_count) {
    struct listing *listing = data;
    struct choice_list *list = listing->list;
    if (list->count >= listing->most)
        return false;
    if (list->count == list->room) {
        size_t room = list->room * 2 + 1024;
        int32_t *more = realloc(list->patterns, room * sizeof *more);
        if (more == NULL) {
            listing->engine->no_memory = true;
            return false;
        }
        list->patterns = more;
        list->room = room;
    }
    int32_t number = pool_add(&listing->engine->pool, listing->stock, listing->back, parts, part_count);
    if (number < 0) {
        listing->engine->no_memory = true;
        return false;
    }
    list->patterns[list->count++] = number;
    return true;
}

/* A bar of limited class may be up to its excess better than nothing, so that a pattern is out when even then
 * it costs more than what is left between bound and target. */
static double reach(const struct proof *proof, int32_t stock) {
    __int128 target = (__int128)(proof->engine->target - proof->engine->step) * (int64_t)proof->scale;
    return (double)(target - proof->sum) * (1 + 1e-15) + 1 - proof->excess[stock];
}

static bool list_all(const struct proof *proof, struct listing *listing) {
    const struct model *model = proof->engine->model;
    int64_t steps = (int64_t)listing->most * 20 + 100000;
    for (size_t i = 0; i < model->stock_count; i++) {
        double cost = proof->scale * (double)model->stocks[i].cost, gap = reach(proof, (int32_t)i);
        bool goes_back = pricer_goes_back(proof->pricer, (int32_t)i);
        for (int back = 0; proof->scope->most[i] > 0 && back <= goes_back; back++) {
            double floor = cost + (back ? (double)proof->place : 0) - gap;
            listing->stock = (int32_t)i;
            listing->back = back;
            if (pricer_most(proof->pricer, (int32_t)i, back) < floor)
                continue;
            if (!pricer_list(proof->pricer, (int32_t)i, back, floor, &steps, take, listing))
                return false;
        }
    }
    return !proof->engine->watch->over;
}

bool enumerate_patterns(struct engine *engine, const struct scope *scope, const struct relaxed *relaxed,
                        size_t most, struct choice_list *list) {
    struct pricer pricer;
    struct proof proof;
    int64_t bound = INT64_MIN;
    struct listing listing = {.engine = engine, .list = list, .most = most};
    *list = (struct choice_list){0};
    if (!pricer_make(scope, engine->watch, &pricer)) {
        engine->no_memory = true;
        return false;
    }
    bool fine = proof_make(engine, scope, &pricer, relaxed->prices, relaxed->place_price, &proof, &bound);
    engine->no_memory = engine->no_memory || !fine;
    fine = fine && bound != INT64_MIN && list_all(&proof, &listing);
    proof_free(&proof);
    pricer_free(&pricer);
    return fine;
}
