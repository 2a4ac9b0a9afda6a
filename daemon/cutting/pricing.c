/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/pricing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A column improves when it saves more than this part of the dearest bar. */
#define SAVES_LEAST 1e-8
/* How much of the way towards the best prices is asked; halved when that finds nothing, 0 below the least. */
#define STAY 0.3
#define STAY_LEAST 0.15

enum { PRICE_STEPS = 200000, MORE_STEPS = 1500, MORE_MOST = 120, STEADY_TYPES = 100 };

bool pricing_make(struct master *master, struct pricing *pricing) {
    const struct scope *scope = master->scope;
    size_t types = scope->type_count + 1, rows = master->row_count + 1;
    *pricing = (struct pricing){.master = master, .bound = -HUGE_VAL, .last = -HUGE_VAL};
    pricing->steady = scope->type_count >= STEADY_TYPES && scope->decision_count == 0 && scope->joins == NULL;
    pricing->found.parts = malloc(types * sizeof *pricing->found.parts);
    pricing->plain = malloc(types * sizeof *pricing->plain);
    pricing->counts = calloc(types, sizeof *pricing->counts);
    pricing->prices = calloc(types, sizeof *pricing->prices);
    pricing->asked = calloc(rows, sizeof *pricing->asked);
    pricing->centre = calloc(rows, sizeof *pricing->centre);
    return pricing->found.parts && pricing->plain && pricing->counts && pricing->prices && pricing->asked &&
           pricing->centre && pricer_make(scope, master->engine->watch, &pricing->pricer);
}

void pricing_free(struct pricing *pricing) {
    pricer_free(&pricing->pricer);
    free(pricing->found.parts);
    free(pricing->plain);
    free(pricing->counts);
    free(pricing->prices);
    free(pricing->asked);
    free(pricing->centre);
}

void pricing_read(const struct master *master, const double *rows, double *prices, double *place) {
    for (size_t i = 0; i < master->scope->type_count; i++)
        prices[i] = rows[i] > 0 ? rows[i] * master->money : 0;
    *place =
        master->place_row >= 0 && rows[master->place_row] < 0 ? -rows[master->place_row] * master->money : 0;
}

/* What a bar costs on top of its pieces at these prices: its value and what the limits ask. */
static double toll(const struct master *master, const double *rows, int32_t stock, bool back) {
    double cost = (double)master->scope->model->stocks[stock].cost;
    if (master->stock_row[stock] >= 0)
        cost -= rows[master->stock_row[stock]] * master->money;
    if (back && master->place_row >= 0)
        cost -= rows[master->place_row] * master->money;
    return cost;
}

/* What the program would save by the pattern. */
static double saves(const struct master *master, const struct pattern *pattern, const struct priced *found) {
    double value = (double)(master->scope->model->stocks[pattern->stock].cost - pattern->cost);
    for (size_t i = 0; i < found->part_count; i++)
        value += master->row_prices[found->parts[i].type] * master->money * found->parts[i].count;
    return value - toll(master, master->row_prices, pattern->stock, pattern->returns);
}

static void add_found(struct pricing *pricing, int32_t stock, bool back) {
    struct master *master = pricing->master;
    const struct priced *found = &pricing->found;
    size_t plain =
        scope_plain(master->scope, found->parts, found->part_count, pricing->counts, pricing->plain);
    int32_t number = pool_add(&master->engine->pool, stock, back, pricing->plain, plain);
    if (number < 0) {
        master->no_memory = true;
        return;
    }
    bool improves =
        saves(master, &master->engine->pool.patterns[number], found) > SAVES_LEAST / 2 * master->money;
    if (master_gather(master, number, found->parts, found->part_count) && improves)
        pricing->improving++;
}

/* More patterns of the class, each from types that those before did not use. */
static void add_more(struct pricing *pricing, int32_t stock, bool back, double least, size_t most) {
    struct pricer *pricer = &pricing->pricer;
    const struct watch *watch = pricing->master->engine->watch;
    for (size_t n = 0; n < most && pricing->found.part_count > 0 && !pricing->master->no_memory; n++) {
        if (watch->ended)
            break;
        for (size_t i = 0; i < pricing->found.part_count; i++)
            pricer->left_out[pricing->found.parts[i].type] = 1;
        pricer_best(pricer, stock, back, least, MORE_STEPS, &pricing->found);
        if (pricing->found.part_count > 0)
            add_found(pricing, stock, back);
    }
    memset(pricer->left_out, 0, pricing->master->scope->type_count);
}

/* Takes note of what the class's best pattern, just found, is worth beyond what a bar costs. */
static void note_excess(struct pricing *pricing, int32_t stock, double over) {
    if (pricing->master->scope->most[stock] != INT64_MAX) {
        if (over > pricing->over_one)
            pricing->over_one = over;
        return;
    }
    double pieces = 0;
    for (size_t i = 0; i < pricing->found.part_count; i++)
        pieces += pricing->prices[pricing->found.parts[i].type] * pricing->found.parts[i].count;
    if (over > 0 && pieces - over < pricing->share * pieces)
        pricing->share = (pieces - over) / pieces;
}

/* Adds what the class offers, with its remainder going back or not, to the program. */
static void price_kind(struct pricing *pricing, int32_t stock, bool back) {
    const struct master *master = pricing->master;
    const struct scope *scope = master->scope;
    double pays = toll(master, pricing->asked, stock, back), least = pays + SAVES_LEAST * master->money;
    double limits =
        master->stock_row[stock] >= 0 ? -pricing->asked[master->stock_row[stock]] * master->money : 0;
    pricing->found.part_count = 0;
    if (pricer_most(&pricing->pricer, stock, back) <= least) {
        note_excess(pricing, stock, limits);
        return;
    }
    pricer_best(&pricing->pricer, stock, back, least, PRICE_STEPS, &pricing->found);
    pricing->exact = pricing->exact && pricing->found.exact;
    note_excess(pricing, stock,
                pricing->found.part_count > 0 ? pricing->found.value - pays + limits : limits);
    if (pricing->found.part_count == 0)
        return;
    add_found(pricing, stock, back);
    if (scope->most[stock] > 1) {
        size_t most = scope->type_count / 2 + 4;
        add_more(pricing, stock, back, least, most < MORE_MOST ? most : MORE_MOST);
    }
}

static void price_class(struct pricing *pricing, int32_t stock) {
    int64_t most = pricing->master->scope->most[stock];
    pricing->over_one = 0;
    for (int back = 0; most > 0 && back <= pricer_goes_back(&pricing->pricer, stock); back++)
        price_kind(pricing, stock, back);
    if (most != INT64_MAX)
        pricing->over += pricing->over_one * (double)most;
}

/* The bound at the prices asked, when every class was looked at. */
static double add_up(const struct pricing *pricing) {
    const struct scope *scope = pricing->master->scope;
    double sum = 0;
    for (size_t i = 0; i < scope->type_count; i++)
        sum += pricing->prices[i] * (double)scope->demand[i];
    sum = sum * pricing->share - pricing->over;
    if (pricing->master->place_row >= 0)
        sum += pricing->asked[pricing->master->place_row] * pricing->master->money * (double)scope->places;
    return sum;
}

/* The classes are taken in turn, and the round ends when enough was found. */
static void ask(struct pricing *pricing) {
    struct master *master = pricing->master;
    const struct scope *scope = master->scope;
    size_t before = master->column_count, types = scope->type_count, stocks = scope->model->stock_count,
           seen = 0;
    double place;
    bool forced = scope->joins != NULL;
    pricing_read(master, pricing->asked, pricing->prices, &place);
    pricer_set(&pricing->pricer, pricing->prices, 1, false);
    pricing->share = 1;
    pricing->over = 0;
    pricing->exact = true;
    pricing->last = -HUGE_VAL;
    for (; seen < stocks && !master->no_memory; seen++) {
        int32_t stock = (int32_t)((pricing->turn + seen) % stocks);
        if (master->column_count - before > types / 3 + 30 || master->engine->watch->ended)
            break;
        forced = forced || scope->least[stock] > 0;
        price_class(pricing, stock);
    }
    if (seen < stocks)
        pricing->turn = (pricing->turn + seen) % stocks;
    else if (!forced && pricing->exact)
        pricing->last = add_up(pricing);
}

size_t pricing_round(struct pricing *pricing) {
    struct master *master = pricing->master;
    double stay = pricing->steady && pricing->bound > -HUGE_VAL ? STAY : 0;
    pricing->improving = 0;
    for (;;) {
        for (size_t i = 0; i < master->row_count; i++)
            pricing->asked[i] = stay > 0 ? stay * pricing->centre[i] + (1 - stay) * master->row_prices[i]
                                         : master->row_prices[i];
        ask(pricing);
        if (pricing->last > pricing->bound) {
            pricing->bound = pricing->last;
            memcpy(pricing->centre, pricing->asked, master->row_count * sizeof *pricing->centre);
        }
        if (pricing->improving > 0 || stay == 0 || master->no_memory || watch_over(master->engine->watch, 1))
            break;
        stay = stay / 2 < STAY_LEAST ? 0 : stay / 2;
    }
    master_add(master);
    return pricing->improving;
}

int64_t pricing_prove(struct pricing *pricing, bool best, struct cutting_certificate *certificate) {
    struct master *master = pricing->master;
    double place;
    pricing_read(master, best ? pricing->centre : pricing->asked, pricing->prices, &place);
    return safe_bound(master->engine, master->scope, &pricing->pricer, pricing->prices, place, certificate);
}
