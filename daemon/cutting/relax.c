/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/relax.h"

#include "cutting/bound.h"
#include "cutting/pricing.h"

#include <math.h>
#include <stdlib.h>

/* Columns whose reduced cost is below this part of the dearest bar are worth keeping for the next program. */
#define NEAR 0.1

struct work {
    struct engine *engine;
    const struct scope *scope;
    struct master master;
    struct pricing pricing;
    bool solved; /* the program stands at an optimum of its own */
    int looks;   /* taken midway */
};

static double round_up(const struct engine *engine, double cost) {
    return ceil(cost / (double)engine->step - 1e-6) * (double)engine->step;
}

/* Whether the bound, were it proven now, would be good enough to leave this scope. */
static bool worth_proving(const struct work *work, double estimate) {
    const struct engine *engine = work->engine;
    return engine->has_best && round_up(engine, estimate) >= (double)(engine->target - work->scope->fixed);
}

/* Whether the bound, rounded up, has reached what the program costs: then it can rise no more. */
static bool settled(const struct work *work) {
    const struct pricing *pricing = &work->pricing;
    return pricing->bound > -HUGE_VAL && work->master.left_out < 1e-7 &&
           round_up(work->engine, pricing->bound) >= work->master.cost * (1 - 1e-9);
}

static bool memory_over(struct work *work) {
    struct watch *watch = work->engine->watch;
    return !watch_room(watch, pool_bytes(&work->engine->pool) + pricer_bytes(&work->pricing.pricer) +
                                  master_bytes(&work->master));
}

/* Tries to prove at the prices of the last round that the scope holds nothing better. */
static bool prove_early(struct work *work, struct relaxed *relaxed) {
    struct engine *engine = work->engine;
    if (!worth_proving(work, work->pricing.last))
        return false;
    int64_t bound = pricing_prove(&work->pricing, false, engine->certificate);
    if (bound == INT64_MIN || bound < engine->target - work->scope->fixed)
        return false;
    relaxed->bound = bound;
    return true;
}

static bool take_solution(struct work *work, struct relaxed *relaxed) {
    const struct master *master = &work->master;
    size_t types = work->scope->type_count;
    relaxed->patterns = malloc((master->column_count + 1) * sizeof *relaxed->patterns);
    relaxed->values = malloc((master->column_count + 1) * sizeof *relaxed->values);
    relaxed->prices = malloc((types + 1) * sizeof *relaxed->prices);
    relaxed->near = malloc((master->column_count + 1) * sizeof *relaxed->near);
    relaxed->taken = calloc(master->extras + 1, sizeof *relaxed->taken);
    if (!relaxed->taken || !relaxed->patterns || !relaxed->values || !relaxed->prices || !relaxed->near)
        return false;
    pricing_read(master, work->pricing.bound > -HUGE_VAL ? work->pricing.centre : master->row_prices,
                 relaxed->prices, &relaxed->place_price);
    if (!work->solved)
        return true;
    const double *values = lp_values(master->lp) + master->own;
    const double *reduced = lp_reduced(master->lp) + master->own;
    double gap = NEAR * (double)work->engine->step / master->money;
    for (size_t i = 0; i < master->column_count; i++) {
        if (values[i] > 1e-9) {
            relaxed->patterns[relaxed->count] = master->columns[i];
            relaxed->values[relaxed->count++] = values[i];
        }
        if (values[i] > 1e-9 ||
            (reduced[i] < (gap > NEAR ? NEAR : gap + NEAR / 10) && relaxed->near_count < 4 * types + 100))
            relaxed->near[relaxed->near_count++] = master->columns[i];
    }
    for (size_t i = 0; i < master->extras; i++)
        relaxed->taken[i] = lp_values(master->lp)[types + i];
    relaxed->whole = master->left_out < 1e-6 && master->exchanges == 0;
    return true;
}

/* Shows the first node's relaxation when it is near its end, and when its bound is known. True when the plan that came of
 * it is as good as the bound can get. */
static bool look_midway(struct work *work, bool settled) {
    static const double gaps[] = {2e-3, 3e-4, -1};
    struct engine *engine = work->engine;
    struct relaxed now = {0};
    double gap = work->master.cost - work->pricing.bound;
    if (work->looks > 2 || work->master.left_out > 1e-7 ||
        !(settled || gap < gaps[work->looks] * work->master.cost))
        return false;
    work->looks = settled ? 3 : work->looks + 1;
    work->solved = true;
    if (take_solution(work, &now))
        engine->midway(engine, work->scope, &now);
    else
        work->master.no_memory = true;
    work->solved = false;
    relaxed_free(&now);
    return settled && engine->has_best && round_up(engine, work->pricing.bound) >= (double)engine->target;
}

static void generate(struct work *work, struct relaxed *relaxed) {
    struct master *master = &work->master;
    bool first = work->engine->midway != NULL;
    while (!master->no_memory && !watch_over(work->engine->watch, 1)) {
        if (memory_over(work) || !master_solve(master) || work->engine->watch->ended)
            return;
        bool enough = first && settled(work);
        if (first)
            enough = look_midway(work, enough);
        if (!enough && pricing_round(&work->pricing) > 0) {
            if (prove_early(work, relaxed))
                return;
            continue;
        }
        if (master->exchanges > 0 && !(first && enough)) {
            master_close_exchanges(master);
            continue;
        }
        if (!enough && master->left_out > 1e-7 && master_raise(master))
            continue;
        if (work->engine->central && !pricing_centre(&work->pricing))
            return;
        work->solved = relaxed->converged = true;
        return;
    }
}

bool relax(struct engine *engine, const struct scope *scope, const int32_t *start, size_t start_count,
           struct relaxed *relaxed) {
    struct work work = {.engine = engine, .scope = scope};
    *relaxed = (struct relaxed){.bound = INT64_MIN};
    if (scope->empty || scope->waste < 0) {
        relaxed->bound = INT64_MAX;
        return true;
    }
    if (!watch_room(engine->watch, pool_bytes(&engine->pool) + pricer_needs(scope) + MASTER_LEAST_BYTES))
        return true;
    bool fine = master_make(engine, scope, &work.master);
    fine = pricing_make(&work.master, &work.pricing) && fine;
    if (fine) {
        master_start(&work.master, start, start_count);
        generate(&work, relaxed);
        /* Out of time, but not called off: what there is makes a bound and a plan. */
        if (!work.solved && relaxed->bound == INT64_MIN && !engine->watch->ended && !work.master.no_memory)
            work.solved = master_solve(&work.master);
        fine = !work.master.no_memory && take_solution(&work, relaxed);
    }
    if (fine && work.solved && !engine->watch->ended) {
        relaxed->cost = work.master.cost;
        relaxed->bound = pricing_prove(&work.pricing, work.pricing.bound > -HUGE_VAL, engine->certificate);
    }
    pricing_free(&work.pricing);
    master_free(&work.master);
    if (!fine)
        relaxed_free(relaxed);
    return fine;
}

void relaxed_free(struct relaxed *relaxed) {
    free(relaxed->patterns);
    free(relaxed->values);
    free(relaxed->prices);
    free(relaxed->near);
    free(relaxed->taken);
    relaxed->taken = NULL;
    relaxed->near = NULL;
    relaxed->near_count = 0;
    relaxed->patterns = NULL;
    relaxed->values = NULL;
    relaxed->prices = NULL;
    relaxed->count = 0;
}

int64_t engine_waste(const struct engine *engine) {
    const struct model *model = engine->model;
    const struct cutting_remainder *rule = &model->problem->remainder;
    bool worth = rule->usable <= ELL_LENGTH_MAX && rule->percent > 0 && rule->places != 0;
    if (model->stock_count != 1 || worth || model->stocks[0].cost == 0 || !engine->has_best)
        return INT64_MAX;
    __int128 room = (__int128)((engine->target - 1) / model->stocks[0].cost) * model->stocks[0].capacity;
    for (size_t i = 0; i < model->type_count; i++)
        room -= (__int128)model->types[i].width * model->types[i].demand;
    return room < 0 ? -1 : room > INT64_MAX ? INT64_MAX : (int64_t)room;
}
