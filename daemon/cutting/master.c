/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/master.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { STRETCH = 40, PIVOTS_MOST = 200000, EXCHANGE_TYPES = 100 };

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

static bool room_to_gather(struct master *master, size_t parts) {
    size_t columns = master->gather_room, entries = master->entry_room;
    if (master->gathered + 2 > columns) {
        size_t r1 = columns, r2 = columns, r3 = columns;
        if (!grow_to((void **)&master->costs, &r1, columns + 2, sizeof(double)) ||
            !grow_to((void **)&master->limit, &r2, columns + 2, sizeof(double)) ||
            !grow_to((void **)&master->start, &r3, columns + 2, sizeof(int)))
            return false;
        master->gather_room = r1;
    }
    if (master->entries + parts + 2 > entries) {
        size_t r1 = entries, r2 = entries;
        if (!grow_to((void **)&master->row, &r1, entries + parts + 2, sizeof(int)) ||
            !grow_to((void **)&master->entry, &r2, entries + parts + 2, sizeof(double)))
            return false;
        master->entry_room = r1;
    }
    return true;
}

static void add_entry(struct master *master, int row, double value) {
    master->row[master->entries] = row;
    master->entry[master->entries++] = value;
}

static void gather(struct master *master, double cost, int stock, bool back, const struct layout_part *parts,
                   size_t part_count) {
    if (!room_to_gather(master, part_count)) {
        master->no_memory = true;
        return;
    }
    master->costs[master->gathered] = cost;
    master->limit[master->gathered] = HUGE_VAL;
    master->start[master->gathered++] = (int)master->entries;
    for (size_t i = 0; i < part_count; i++)
        add_entry(master, parts[i].type, parts[i].count);
    if (stock >= 0 && master->stock_row[stock] >= 0)
        add_entry(master, master->stock_row[stock], 1);
    if (back && master->place_row >= 0)
        add_entry(master, master->place_row, 1);
}

void master_add(struct master *master) {
    if (master->gathered == 0 || master->no_memory)
        return;
    master->start[master->gathered] = (int)master->entries;
    lp_add(master->lp, &(struct lp_columns){master->gathered, master->costs, master->limit, master->start,
                                            master->row, master->entry});
    master->added += master->entries;
    master->gathered = master->entries = 0;
}

bool master_gather(struct master *master, int32_t number, const struct layout_part *parts,
                   size_t part_count) {
    size_t before = master->inside_room;
    if (!grow_to((void **)&master->inside, &master->inside_room, (size_t)number + 1, 1) ||
        !grow_to((void **)&master->columns, &master->column_room, master->column_count + 1,
                 sizeof *master->columns)) {
        master->no_memory = true;
        return false;
    }
    memset(master->inside + before, 0, master->inside_room - before);
    if (master->inside[number])
        return false;
    master->inside[number] = 1;
    const struct pattern *pattern = &master->engine->pool.patterns[number];
    gather(master, (double)pattern->cost / master->money, pattern->stock, pattern->returns, parts,
           part_count);
    master->columns[master->column_count++] = number;
    return true;
}

static bool make_program(struct master *master) {
    const struct scope *scope = master->scope;
    size_t stocks = scope->model->stock_count, rows = scope->type_count;
    master->place_row = -1;
    for (size_t i = 0; i < stocks; i++)
        master->stock_row[i] = scope->most[i] != INT64_MAX || scope->least[i] > 0 ? (int)rows++ : -1;
    if (scope->places != INT64_MAX)
        master->place_row = (int)rows++;
    master->join_row = rows;
    rows += scope->joins ? scope->joins->count : 0;
    master->row_count = rows;
    double *lower = malloc((rows + 1) * sizeof *lower), *upper = malloc((rows + 1) * sizeof *upper);
    if (lower != NULL && upper != NULL) {
        for (size_t i = 0; i < scope->type_count; i++) {
            lower[i] = (double)(scope->joins ? scope->joins->base[i] : scope->demand[i]);
            upper[i] = HUGE_VAL;
        }
        for (size_t i = 0; i < stocks; i++)
            if (master->stock_row[i] >= 0) {
                lower[master->stock_row[i]] = scope->least[i] > 0 ? (double)scope->least[i] : -HUGE_VAL;
                upper[master->stock_row[i]] = scope->most[i] != INT64_MAX ? (double)scope->most[i] : HUGE_VAL;
            }
        if (master->place_row >= 0) {
            lower[master->place_row] = -HUGE_VAL;
            upper[master->place_row] = (double)scope->places;
        }
        for (size_t i = master->join_row; i < rows; i++)
            lower[i] = upper[i] = 1;
        master->lp = lp_make(rows, lower, upper);
    }
    free(lower);
    free(upper);
    master->row_prices = calloc(rows + 1, sizeof *master->row_prices);
    return master->lp != NULL && master->row_prices != NULL;
}

bool master_make(struct engine *engine, const struct scope *scope, struct master *master) {
    size_t types = scope->type_count + 1;
    *master = (struct master){.engine = engine, .scope = scope, .money = 1, .dummy = 4};
    master->stock_row = malloc((scope->model->stock_count + 1) * sizeof *master->stock_row);
    master->parts = malloc(types * sizeof *master->parts);
    master->counts = calloc(types, sizeof *master->counts);
    for (size_t i = 0; i < scope->model->stock_count; i++)
        if ((double)scope->model->stocks[i].cost > master->money)
            master->money = (double)scope->model->stocks[i].cost;
    return master->stock_row && master->parts && master->counts && make_program(master);
}

void master_free(struct master *master) {
    lp_free(master->lp);
    free(master->stock_row);
    free(master->row_prices);
    free(master->parts);
    free(master->counts);
    free(master->columns);
    free(master->inside);
    free(master->costs);
    free(master->limit);
    free(master->entry);
    free(master->start);
    free(master->row);
}

/* What the library was seen to take: the matrix by columns and by rows, the factorised basis, the arrays. */
enum { ROW_BYTES = 1000, COLUMN_BYTES = 500, ENTRY_BYTES = 60 };

size_t master_bytes(const struct master *master) {
    size_t columns = master->own + master->column_count;
    return MASTER_LEAST_BYTES + master->row_count * ROW_BYTES + columns * COLUMN_BYTES +
           master->added * ENTRY_BYTES;
}

/* An alternative taken asks for its pieces; of each join, one in all is taken. */
static void gather_alternatives(struct master *master) {
    const struct joins *joins = master->scope->joins;
    for (size_t g = 0; joins != NULL && g < joins->count; g++)
        for (size_t a = 0; a < joins->choices[g].count; a++) {
            const int32_t *types = join_types(&joins->choices[g], a);
            struct layout_part *parts = master->parts;
            size_t count = 0;
            for (size_t p = 0; p < joins->choices[g].pieces; p++) {
                size_t at = 0;
                while (at < count && parts[at].type != types[p])
                    at++;
                if (at == count)
                    parts[count++] = (struct layout_part){types[p], 0};
                parts[at].count--;
            }
            gather(master, 0, -1, false, parts, count);
            if (!master->no_memory)
                add_entry(master, (int)(master->join_row + g), 1);
            master->extras++;
        }
}

/* What is cut for a longer piece will do for a shorter one: a column from each type to the next, which keeps the prices
 * of many types from straying (Valerio de Carvalho 2005). A pattern then may hold more of a type than is wanted, so that
 * the program with them can be too cheap: they are closed before the end. */
static void gather_exchanges(struct master *master) {
    const struct scope *scope = master->scope;
    if (scope->type_count < EXCHANGE_TYPES || scope->type_count != scope->model->type_count ||
        scope->apart != NULL)
        return;
    for (size_t i = 0; i + 1 < scope->type_count; i++) {
        size_t next = i + 1;
        while (next < scope->type_count && scope->batch[next] != scope->batch[i])
            next++;
        if (next == scope->type_count)
            continue;
        struct layout_part parts[] = {{(int32_t)i, -1}, {(int32_t)next, 1}};
        gather(master, 0, -1, false, parts, 2);
        master->exchanges++;
    }
}

void master_close_exchanges(struct master *master) {
    for (size_t i = 0; i < master->exchanges; i++)
        lp_set_limits(master->lp, master->own - master->exchanges + i, 0, 0);
    master->exchanges = 0;
}

void master_start(struct master *master, const int32_t *start, size_t start_count) {
    for (size_t i = 0; i < master->scope->type_count; i++)
        gather(master, master->dummy, -1, false, &(struct layout_part){(int32_t)i, 1}, 1);
    gather_alternatives(master);
    gather_exchanges(master);
    master->own = master->scope->type_count + master->extras + master->exchanges;
    for (size_t i = 0; i < start_count && !master->no_memory; i++) {
        const struct pattern *pattern = &master->engine->pool.patterns[start[i]];
        size_t count =
            scope_parts(master->scope, &master->engine->pool, pattern, master->counts, master->parts);
        const struct model_stock *stock = &master->scope->model->stocks[pattern->stock];
        bool too_wasteful = stock->capacity - pattern->fill > master->scope->waste;
        if (count > 0 && !too_wasteful && !(pattern->returns && master->scope->places == 0))
            master_gather(master, start[i], master->parts, count);
    }
    master_add(master);
}

static double left_out(const struct master *master) {
    const double *values = lp_values(master->lp);
    double sum = 0;
    for (size_t i = 0; i < master->scope->type_count; i++)
        sum += values[i];
    return sum;
}

/* In stretches, so that a cancel is noticed between them; each longer than the last, since what stands still at every
 * beginning would never end. */
bool master_solve(struct master *master) {
    struct watch *watch = master->engine->watch;
    int sum = 0;
    for (int stretch = STRETCH;; stretch += STRETCH / 2) {
        bool solved = lp_solve(master->lp, stretch);
        int pivots = lp_pivots(master->lp);
        watch_over(watch, (int64_t)pivots * (int64_t)(master->row_count / 8 + 4));
        sum += pivots;
        if (!solved && pivots >= stretch && sum < PIVOTS_MOST && !watch->ended)
            continue;
        memcpy(master->row_prices, lp_prices(master->lp), master->row_count * sizeof *master->row_prices);
        master->cost = lp_cost(master->lp) * master->money;
        master->left_out = left_out(master);
        return solved;
    }
}

bool master_raise(struct master *master) {
    if (master->dummy > 1e5)
        return false;
    master->dummy *= 16;
    for (size_t i = 0; i < master->scope->type_count; i++)
        lp_set_cost(master->lp, i, master->dummy);
    return true;
}
