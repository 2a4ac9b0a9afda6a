/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/relax.h"

#include "cutting/bound.h"
#include "cutting/lp.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A column improves when it saves more than this part of the dearest bar. */
#define SAVES_LEAST 1e-8
/* Columns whose reduced cost is below this part of the dearest bar are worth keeping for the next program. */
#define NEAR 0.1

enum { PRICE_STEPS = 200000, MORE_STEPS = 1500, MORE_MOST = 120, STRETCH = 150 };

struct work {
    struct engine *engine;
    const struct scope *scope;
    struct pricer pricer;
    struct lp *lp;
    double money;                       /* the dearest bar: the program counts in it */
    double dummy;                       /* cost of leaving one piece out, in `money` */
    size_t row_count, join_row, extras; /* extras: the alternatives of joins, columns after the dummies */
    int *stock_row;                     /* -1: none */
    int place_row;
    double *row_prices; /* of the last solve, in `money` */
    double *prices;
    struct priced found;
    struct layout_part *plain;
    int64_t *counts;
    /* columns of the program after the type_count dummies: numbers in the pool */
    int32_t *columns;
    size_t column_count, column_room;
    uint8_t *inside; /* by number in the pool */
    size_t inside_room;
    /* columns gathered for the next lp_add */
    double *cost, *limit, *entry;
    int *start, *row;
    size_t gathered, entries, gather_room, entry_room;
    bool last_solve; /* the program was solved once more after the end */
    size_t turn;     /* the class that is priced first */
    bool no_memory;
};

static bool grow_to(void **array, size_t *room, size_t wanted, size_t size) {
    if (wanted <= *room)
        return true;
    size_t more = wanted * 2 + 256;
    void *bigger = realloc(*array, more * size);
    if (bigger == NULL)
        return false;
    *array = bigger;
    *room = more;
    return true;
}

static bool room_to_gather(struct work *work, size_t parts) {
    size_t columns = work->gather_room, entries = work->entry_room;
    if (work->gathered + 2 > columns) {
        size_t r1 = columns, r2 = columns, r3 = columns;
        if (!grow_to((void **)&work->cost, &r1, columns + 2, sizeof(double)) ||
            !grow_to((void **)&work->limit, &r2, columns + 2, sizeof(double)) ||
            !grow_to((void **)&work->start, &r3, columns + 2, sizeof(int)))
            return false;
        work->gather_room = r1;
    }
    if (work->entries + parts + 2 > entries) {
        size_t r1 = entries, r2 = entries;
        if (!grow_to((void **)&work->row, &r1, entries + parts + 2, sizeof(int)) ||
            !grow_to((void **)&work->entry, &r2, entries + parts + 2, sizeof(double)))
            return false;
        work->entry_room = r1;
    }
    return true;
}

static void add_entry(struct work *work, int row, double value) {
    work->row[work->entries] = row;
    work->entry[work->entries++] = value;
}

static void gather(struct work *work, double cost, int stock, bool back, const struct layout_part *parts,
                   size_t part_count) {
    if (!room_to_gather(work, part_count)) {
        work->no_memory = true;
        return;
    }
    work->cost[work->gathered] = cost;
    work->limit[work->gathered] = HUGE_VAL;
    work->start[work->gathered++] = (int)work->entries;
    for (size_t i = 0; i < part_count; i++)
        add_entry(work, parts[i].type, parts[i].count);
    if (stock >= 0 && work->stock_row[stock] >= 0)
        add_entry(work, work->stock_row[stock], 1);
    if (back && work->place_row >= 0)
        add_entry(work, work->place_row, 1);
}

static void hand_over(struct work *work) {
    if (work->gathered == 0 || work->no_memory)
        return;
    work->start[work->gathered] = (int)work->entries;
    lp_add(work->lp, &(struct lp_columns){work->gathered, work->cost, work->limit, work->start, work->row,
                                          work->entry});
    work->gathered = work->entries = 0;
}

/* Adds a pattern of the scope, unless it is there already. True when it is new to the program. */
static bool add_pattern(struct work *work, int32_t number, const struct layout_part *parts,
                        size_t part_count) {
    size_t before = work->inside_room;
    if (!grow_to((void **)&work->inside, &work->inside_room, (size_t)number + 1, 1) ||
        !grow_to((void **)&work->columns, &work->column_room, work->column_count + 1,
                 sizeof *work->columns)) {
        work->no_memory = true;
        return false;
    }
    memset(work->inside + before, 0, work->inside_room - before);
    if (work->inside[number])
        return false;
    work->inside[number] = 1;
    const struct pattern *pattern = &work->engine->pool.patterns[number];
    gather(work, (double)pattern->cost / work->money, pattern->stock, pattern->returns, parts, part_count);
    work->columns[work->column_count++] = number;
    return true;
}

static bool add_found(struct work *work, int32_t stock, bool back) {
    const struct priced *found = &work->found;
    size_t plain = scope_plain(work->scope, found->parts, found->part_count, work->counts, work->plain);
    int32_t number = pool_add(&work->engine->pool, stock, back, work->plain, plain);
    if (number < 0) {
        work->no_memory = true;
        return false;
    }
    return add_pattern(work, number, found->parts, found->part_count);
}

static bool make_program(struct work *work) {
    const struct scope *scope = work->scope;
    size_t stocks = scope->model->stock_count, rows = scope->type_count;
    work->place_row = -1;
    for (size_t i = 0; i < stocks; i++)
        work->stock_row[i] = scope->most[i] != INT64_MAX || scope->least[i] > 0 ? (int)rows++ : -1;
    if (scope->places != INT64_MAX)
        work->place_row = (int)rows++;
    work->join_row = rows;
    rows += scope->joins ? scope->joins->count : 0;
    work->row_count = rows;
    double *lower = malloc((rows + 1) * sizeof *lower), *upper = malloc((rows + 1) * sizeof *upper);
    if (lower != NULL && upper != NULL) {
        for (size_t i = 0; i < scope->type_count; i++) {
            lower[i] = (double)(scope->joins ? scope->joins->base[i] : scope->demand[i]);
            upper[i] = HUGE_VAL;
        }
        for (size_t i = 0; i < stocks; i++)
            if (work->stock_row[i] >= 0) {
                lower[work->stock_row[i]] = scope->least[i] > 0 ? (double)scope->least[i] : -HUGE_VAL;
                upper[work->stock_row[i]] = scope->most[i] != INT64_MAX ? (double)scope->most[i] : HUGE_VAL;
            }
        if (work->place_row >= 0) {
            lower[work->place_row] = -HUGE_VAL;
            upper[work->place_row] = (double)scope->places;
        }
        for (size_t i = work->join_row; i < rows; i++)
            lower[i] = upper[i] = 1;
        work->lp = lp_make(rows, lower, upper);
    }
    free(lower);
    free(upper);
    work->row_prices = calloc(rows + 1, sizeof *work->row_prices);
    return work->lp != NULL && work->row_prices != NULL;
}

static bool work_make(struct engine *engine, const struct scope *scope, struct work *work) {
    size_t types = scope->type_count + 1;
    *work = (struct work){.engine = engine, .scope = scope, .money = 1, .dummy = 4};
    work->stock_row = malloc((scope->model->stock_count + 1) * sizeof *work->stock_row);
    work->prices = calloc(types, sizeof *work->prices);
    work->found.parts = malloc(types * sizeof *work->found.parts);
    work->plain = malloc(types * sizeof *work->plain);
    work->counts = calloc(types, sizeof *work->counts);
    for (size_t i = 0; i < scope->model->stock_count; i++)
        if ((double)scope->model->stocks[i].cost > work->money)
            work->money = (double)scope->model->stocks[i].cost;
    return work->stock_row && work->prices && work->found.parts && work->plain && work->counts &&
           pricer_make(scope, engine->watch, &work->pricer) && make_program(work);
}

static void work_free(struct work *work) {
    lp_free(work->lp);
    pricer_free(&work->pricer);
    free(work->stock_row);
    free(work->prices);
    free(work->row_prices);
    free(work->found.parts);
    free(work->plain);
    free(work->counts);
    free(work->columns);
    free(work->inside);
    free(work->cost);
    free(work->limit);
    free(work->entry);
    free(work->start);
    free(work->row);
}

/* An alternative taken asks for its pieces; of each join, one in all is taken. */
static void gather_alternatives(struct work *work) {
    const struct joins *joins = work->scope->joins;
    for (size_t g = 0; joins != NULL && g < joins->count; g++)
        for (size_t a = 0; a < joins->choices[g].count; a++) {
            struct layout_part parts[CUTTING_JOIN_PIECES_MOST];
            size_t count = 0;
            for (size_t p = 0; p < joins->choices[g].pieces; p++) {
                size_t at = 0;
                while (at < count && parts[at].type != joins->choices[g].types[a][p])
                    at++;
                if (at == count)
                    parts[count++] = (struct layout_part){joins->choices[g].types[a][p], 0};
                parts[at].count--;
            }
            gather(work, 0, -1, false, parts, count);
            if (!work->no_memory)
                add_entry(work, (int)(work->join_row + g), 1);
            work->extras++;
        }
}

static void add_start(struct work *work, const int32_t *start, size_t start_count) {
    for (size_t i = 0; i < work->scope->type_count; i++)
        gather(work, work->dummy, -1, false, &(struct layout_part){(int32_t)i, 1}, 1);
    gather_alternatives(work);
    for (size_t i = 0; i < start_count && !work->no_memory; i++) {
        const struct pattern *pattern = &work->engine->pool.patterns[start[i]];
        size_t count =
            scope_parts(work->scope, &work->engine->pool, pattern, work->counts, work->found.parts);
        const struct model_stock *stock = &work->scope->model->stocks[pattern->stock];
        bool too_wasteful = stock->capacity - pattern->fill > work->scope->waste;
        if (count > 0 && !too_wasteful && !(pattern->returns && work->scope->places == 0))
            add_pattern(work, start[i], work->found.parts, count);
    }
    hand_over(work);
}

/* What a bar costs on top of its pieces at the program's prices: its value and what the limits ask. */
static double toll(const struct work *work, int32_t stock, bool back) {
    double cost = (double)work->scope->model->stocks[stock].cost;
    if (work->stock_row[stock] >= 0)
        cost -= work->row_prices[work->stock_row[stock]] * work->money;
    if (back && work->place_row >= 0)
        cost -= work->row_prices[work->place_row] * work->money;
    return cost;
}

/* More patterns of the class, each from types that those before did not use. */
static void add_more(struct work *work, int32_t stock, bool back, double toll, size_t most) {
    for (size_t n = 0; n < most && work->found.part_count > 0 && !work->no_memory; n++) {
        for (size_t i = 0; i < work->found.part_count; i++)
            work->pricer.left_out[work->found.parts[i].type] = 1;
        pricer_best(&work->pricer, stock, back, toll, MORE_STEPS, &work->found);
        if (work->found.part_count > 0)
            add_found(work, stock, back);
    }
    memset(work->pricer.left_out, 0, work->scope->type_count);
}

/* Adds what the class offers, with its remainder going back or not, to the program; see price_round for *share. */
static void price_class(struct work *work, int32_t stock, bool back, double *share) {
    double pays = toll(work, stock, back), least = pays + SAVES_LEAST * work->money;
    if (pricer_most(&work->pricer, stock, back) <= least)
        return;
    pricer_best(&work->pricer, stock, back, least, PRICE_STEPS, &work->found);
    if (!work->found.exact)
        *share = 0;
    if (work->found.part_count == 0)
        return;
    if (pays < *share * work->found.value)
        *share = pays / work->found.value;
    add_found(work, stock, back);
    if (work->scope->most[stock] > 1) {
        size_t most = work->scope->type_count / 2 + 4;
        add_more(work, stock, back, least, most < MORE_MOST ? most : MORE_MOST);
    }
}

/* Adds what improves the program. Returns the number of new columns; *share: the part of the pieces' prices for which the
 * dearest pattern of an unlimited bar would just pay, 0 when not all classes were looked at. The classes are taken in
 * turn, and the round ends when enough was found. */
static size_t price_round(struct work *work, double *share) {
    const struct scope *scope = work->scope;
    size_t before = work->column_count, types = scope->type_count, stocks = scope->model->stock_count;
    for (size_t i = 0; i < types; i++)
        work->prices[i] = work->row_prices[i] > 0 ? work->row_prices[i] * work->money : 0;
    pricer_set(&work->pricer, work->prices, 1, false);
    *share = 1;
    size_t seen = 0;
    for (; seen < stocks && !work->no_memory; seen++) {
        int32_t stock = (int32_t)((work->turn + seen) % stocks);
        if (work->column_count - before > types / 3 + 30 || work->engine->watch->ended)
            break;
        for (int back = 0; scope->most[stock] > 0 && back <= pricer_goes_back(&work->pricer, stock); back++)
            price_class(work, stock, back, share);
    }
    if (seen < stocks) {
        *share = 0;
        work->turn = (work->turn + seen) % stocks;
    }
    hand_over(work);
    return work->column_count - before;
}

/* In stretches, so that a cancel is noticed between them. */
static bool solve_program(struct work *work) {
    struct watch *watch = work->engine->watch;
    for (;;) {
        bool solved = lp_solve(work->lp, STRETCH);
        int pivots = lp_pivots(work->lp);
        watch_over(watch, (int64_t)pivots * (int64_t)(work->row_count / 8 + 4));
        if (!solved && pivots >= STRETCH && !watch->ended)
            continue;
        memcpy(work->row_prices, lp_prices(work->lp), work->row_count * sizeof *work->row_prices);
        return solved;
    }
}

static double dummies_used(const struct work *work) {
    const double *values = lp_values(work->lp);
    double sum = 0;
    for (size_t i = 0; i < work->scope->type_count; i++)
        sum += values[i];
    return sum;
}

static bool raise_dummies(struct work *work) {
    if (work->dummy > 1e5)
        return false;
    work->dummy *= 16;
    for (size_t i = 0; i < work->scope->type_count; i++)
        lp_set_cost(work->lp, i, work->dummy);
    return true;
}

static int64_t bound_now(struct work *work, struct cutting_certificate *certificate) {
    double place = work->place_row >= 0 ? -work->row_prices[work->place_row] * work->money : 0;
    for (size_t i = 0; i < work->scope->type_count; i++)
        work->prices[i] = work->row_prices[i] > 0 ? work->row_prices[i] * work->money : 0;
    return safe_bound(work->engine, work->scope, &work->pricer, work->prices, place, certificate);
}

/* Whether the bound, were it proven now, would be as good as it can get or good enough to leave this scope.
 */
static bool worth_proving(const struct work *work, double estimate) {
    const struct engine *engine = work->engine;
    double step = (double)engine->step, target = (double)(engine->target - work->scope->fixed);
    return engine->has_best && ceil(estimate / step - 1e-6) * step >= target;
}

static void generate(struct work *work, struct relaxed *relaxed) {
    struct engine *engine = work->engine;
    bool simple = work->row_count == work->scope->type_count;
    while (!work->no_memory && !watch_over(engine->watch, 1)) {
        double share = 0;
        size_t limit = engine->watch->options->memory;
        if (limit > 0 && pool_bytes(&engine->pool) + pricer_bytes(&work->pricer) > limit) {
            engine->watch->over = engine->watch->memory_over = true;
            return;
        }
        if (!solve_program(work))
            return;
        size_t added = price_round(work, &share);
        double estimate = simple ? lp_cost(work->lp) * work->money * share : 0;
        if (added > 0 && simple && worth_proving(work, estimate)) {
            int64_t bound = bound_now(work, engine->certificate);
            if (bound != INT64_MIN && bound >= engine->target - work->scope->fixed) {
                relaxed->bound = bound;
                return;
            }
        }
        if (added > 0)
            continue;
        if (dummies_used(work) > 1e-7 && raise_dummies(work))
            continue;
        relaxed->converged = true;
        return;
    }
}

static bool take_solution(struct work *work, struct relaxed *relaxed) {
    size_t types = work->scope->type_count;
    relaxed->patterns = malloc((work->column_count + 1) * sizeof *relaxed->patterns);
    relaxed->values = malloc((work->column_count + 1) * sizeof *relaxed->values);
    relaxed->prices = malloc((types + 1) * sizeof *relaxed->prices);
    relaxed->near = malloc((work->column_count + 1) * sizeof *relaxed->near);
    relaxed->taken = calloc(work->extras + 1, sizeof *relaxed->taken);
    if (!relaxed->taken || !relaxed->patterns || !relaxed->values || !relaxed->prices || !relaxed->near)
        return false;
    for (size_t i = 0; i < types; i++)
        relaxed->prices[i] = work->row_prices[i] > 0 ? work->row_prices[i] * work->money : 0;
    relaxed->place_price = work->place_row >= 0 ? -work->row_prices[work->place_row] * work->money : 0;
    if (!relaxed->converged && !work->last_solve)
        return true;
    const double *values = lp_values(work->lp) + types + work->extras;
    const double *reduced = lp_reduced(work->lp) + types + work->extras;
    double gap = NEAR * (double)work->engine->step / work->money;
    for (size_t i = 0; i < work->column_count; i++) {
        if (values[i] > 1e-9) {
            relaxed->patterns[relaxed->count] = work->columns[i];
            relaxed->values[relaxed->count++] = values[i];
        }
        if (values[i] > 1e-9 ||
            (reduced[i] < (gap > NEAR ? NEAR : gap + NEAR / 10) && relaxed->near_count < 4 * types + 100))
            relaxed->near[relaxed->near_count++] = work->columns[i];
    }
    for (size_t i = 0; i < work->extras; i++)
        relaxed->taken[i] = lp_values(work->lp)[types + i];
    relaxed->whole = dummies_used(work) < 1e-6;
    return true;
}

bool relax(struct engine *engine, const struct scope *scope, const int32_t *start, size_t start_count,
           struct relaxed *relaxed) {
    struct work work;
    *relaxed = (struct relaxed){.bound = INT64_MIN};
    if (scope->empty || scope->waste < 0) {
        relaxed->bound = INT64_MAX;
        return true;
    }
    bool fine = work_make(engine, scope, &work);
    if (fine) {
        add_start(&work, start, start_count);
        generate(&work, relaxed);
        /* Out of time, but not called off: what there is makes a bound and a plan. */
        if (!relaxed->converged && relaxed->bound == INT64_MIN && !engine->watch->ended && !work.no_memory)
            work.last_solve = solve_program(&work);
        fine = !work.no_memory && take_solution(&work, relaxed);
    }
    if (fine && (relaxed->converged || work.last_solve)) {
        relaxed->cost = lp_cost(work.lp) * work.money;
        relaxed->bound = bound_now(&work, engine->certificate);
    }
    work_free(&work);
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
