/* The tables behind the knapsack: making them and setting prices. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/price.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Up to so many cells in all the table is exact; else a bar has so many, more where many types make searches long, and
 * rows are kept for every few types only so that a table stays within ROW_CELLS, about what a processor's cache holds. */
enum { EXACT_CELLS = 600000, GRID_CELLS = 4096, FINE_CELLS = 16384, FINE_TYPES = 100, ROW_CELLS = 600000 };

static int64_t widest_capacity(const struct scope *scope) {
    int64_t widest = 0;
    for (size_t i = 0; i < scope->model->stock_count; i++)
        if (scope->most[i] > 0 && scope->model->stocks[i].capacity > widest)
            widest = scope->model->stocks[i].capacity;
    return widest;
}

static void choose_shift(struct pricer *pricer) {
    const struct scope *scope = pricer->scope;
    int64_t types = (int64_t)scope->type_count;
    int64_t exact_most = scope->waste < pricer->capacity ? 8 * EXACT_CELLS : EXACT_CELLS;
    int64_t grid = types < FINE_TYPES ? GRID_CELLS : FINE_CELLS / pricer->tables;
    if (pricer->capacity * (types + 1) > exact_most)
        while (pricer->capacity >> pricer->shift >= grid)
            pricer->shift++;
}

/* Rows are counted from the last type, so that the row after it stands for none. */
static void choose_rows(struct pricer *pricer) {
    size_t types = pricer->scope->type_count, cells = (size_t)(pricer->capacity >> pricer->shift) + 1;
    while (pricer->shift > 0 && ((types >> pricer->fold) + 1) * cells > ROW_CELLS &&
           types >> pricer->fold > 1)
        pricer->fold++;
    size_t of_a_row = (size_t)1 << pricer->fold;
    pricer->rows = (types + of_a_row - 1) >> pricer->fold;
    pricer->ahead = (pricer->rows << pricer->fold) - types;
    pricer->table_room = (pricer->rows + 3) * cells; /* one row for none, two to work in */
}

static bool make_arrays(struct pricer *pricer) {
    size_t types = pricer->scope->type_count;
    pricer->cell_width = calloc(types + 1, sizeof *pricer->cell_width);
    pricer->most = calloc(types + 1, sizeof *pricer->most);
    pricer->left_out = calloc(types + 1, 1);
    pricer->stack = calloc(types + 1, sizeof *pricer->stack);
    pricer->items = malloc((types + 1) * sizeof *pricer->items);
    bool fine = pricer->cell_width && pricer->most && pricer->left_out && pricer->stack && pricer->items;
    struct table *const tables[] = {&pricer->scrap, &pricer->back};
    for (int i = 0; fine && i < 2 && i < pricer->tables; i++) {
        tables[i]->cells = (size_t)(pricer->capacity >> pricer->shift) + 1;
        tables[i]->best = malloc(pricer->table_room * sizeof(double));
        tables[i]->value = calloc(types + 1, sizeof(double));
        fine = tables[i]->best != NULL && tables[i]->value != NULL;
    }
    return fine;
}

static void lay_out(const struct scope *scope, struct pricer *pricer) {
    *pricer = (struct pricer){.scope = scope, .waste = scope->waste};
    pricer->capacity = widest_capacity(scope);
    pricer->tables = scope->model->problem->remainder.usable <= ELL_LENGTH_MAX ? 2 : 1;
    choose_shift(pricer);
    choose_rows(pricer);
}

size_t pricer_needs(const struct scope *scope) {
    struct pricer pricer;
    lay_out(scope, &pricer);
    return pricer_bytes(&pricer);
}

bool pricer_make(const struct scope *scope, struct watch *watch, struct pricer *pricer) {
    lay_out(scope, pricer);
    pricer->watch = watch;
    if (!make_arrays(pricer)) {
        pricer_free(pricer);
        return false;
    }
    for (size_t i = 0; i < scope->type_count; i++) {
        pricer->cell_width[i] = (size_t)(scope->width[i] >> pricer->shift);
        int64_t fits = pricer->capacity / scope->width[i];
        pricer->most[i] = fits < scope->demand[i] ? fits : scope->demand[i];
        if (scope_apart(scope, (int32_t)i, (int32_t)i) && pricer->most[i] > 1)
            pricer->most[i] = 1;
        if (scope->demand[i] > 0 && fits > pricer->longest_pattern)
            pricer->longest_pattern = fits;
    }
    return true;
}

void pricer_free(struct pricer *pricer) {
    struct table *const tables[] = {&pricer->scrap, &pricer->back};
    for (int i = 0; i < 2; i++) {
        free(tables[i]->best);
        free(tables[i]->value);
    }
    free(pricer->cell_width);
    free(pricer->most);
    free(pricer->left_out);
    free(pricer->stack);
    free(pricer->items);
    *pricer = (struct pricer){0};
}

size_t pricer_bytes(const struct pricer *pricer) {
    return (size_t)pricer->tables * pricer->table_room * sizeof(double);
}

/* to[x] = max(from[x], from[x - width] + value): one item, or a bundle of equal ones. */
__attribute__((optimize("O3"))) static void offer(double *restrict to, const double *restrict from,
                                                  size_t cells, size_t width, double value) {
    memcpy(to, from, (width < cells ? width : cells) * sizeof *to);
    for (size_t x = width; x < cells; x++) {
        double with = from[x - width] + value;
        to[x] = from[x] > with ? from[x] : with;
    }
}

/* As `offer`, with any number of items. */
static void offer_any(double *restrict to, const double *restrict from, size_t cells, size_t width,
                      double value) {
    memcpy(to, from, cells * sizeof *to);
    for (size_t x = width; x < cells; x++)
        if (to[x - width] + value > to[x])
            to[x] = to[x - width] + value;
}

static bool left_aside(const struct pricer *pricer, const struct table *table, size_t i) {
    return pricer->most[i] <= 0 || table->value[i] <= table->useless || pricer->cell_width[i] >= table->cells;
}

/* `row`: what `below` tells with type i added, in bundles of 1, 2, 4, ..., the rest. The first bundle reads the row
 * below; the others rewrite the row from its end, so that what they read is still without them. */
static void fill_row(const struct pricer *pricer, const struct table *table, size_t i, double *row,
                     const double *below) {
    size_t width = pricer->cell_width[i];
    double value = table->value[i];
    int64_t left = pricer->most[i];
    if (width == 0 || (size_t)left >= (table->cells - 1) / width) {
        if (width == 0) {
            for (size_t x = 0; x < table->cells; x++)
                row[x] = below[x] + value * (double)left;
        } else {
            offer_any(row, below, table->cells, width, value);
        }
        return;
    }
    for (int64_t bundle = 1; left > 0; bundle *= 2) {
        int64_t taken = bundle < left ? bundle : left;
        size_t wide = width * (size_t)taken;
        double worth = value * (double)taken;
        if (bundle == 1)
            offer(row, below, table->cells, wide, worth);
        else
            for (size_t x = table->cells; x-- > wide;)
                if (row[x - wide] + worth > row[x])
                    row[x] = row[x - wide] + worth;
        left -= taken;
    }
}

/* Row `row` from the one after it, through all its types; those between are worked out in two rows at the end. */
static void fill_rows_types(const struct pricer *pricer, struct table *table, size_t row) {
    size_t end = ((row + 1) << pricer->fold) - pricer->ahead;
    size_t begin = row == 0 ? 0 : (row << pricer->fold) - pricer->ahead;
    double *to = table->best + row * table->cells;
    const double *from = to + table->cells;
    double *const spare[] = {table->best + (pricer->rows + 1) * table->cells,
                             table->best + (pricer->rows + 2) * table->cells};
    size_t used = 0;
    for (size_t i = end; i-- > begin;)
        if (!left_aside(pricer, table, i)) {
            double *next = pricer->fold == 0 ? to : spare[used++ % 2];
            fill_row(pricer, table, i, next, from);
            from = next;
        }
    if (from != to)
        memcpy(to, from, table->cells * sizeof *to);
}

static void fill_table(struct pricer *pricer, struct table *table, int64_t waste) {
    size_t types = pricer->scope->type_count;
    double *last = table->best + pricer->rows * table->cells;
    /* Rounded down widths leave up to one cell a piece more than there is. */
    int64_t slack = (waste >> pricer->shift) + (pricer->shift > 0 ? pricer->longest_pattern : 0);
    for (size_t x = 0; x < table->cells; x++)
        last[x] = (int64_t)x <= slack ? 0 : -1e300;
    for (size_t row = pricer->rows; row-- > 0;)
        fill_rows_types(pricer, table, row);
    watch_over(pricer->watch, (int64_t)(types * table->cells / 256) + 1);
}

void pricer_set(struct pricer *pricer, const double *prices, double unit, bool whole) {
    const struct model *model = pricer->scope->model;
    const struct cutting_remainder *rule = &model->problem->remainder;
    size_t types = pricer->scope->type_count;
    pricer->unit = unit;
    double slope = 0;
    if (model->rate.length > 0 && rule->usable <= ELL_LENGTH_MAX)
        slope = unit * rule->percent / 100 * ((double)model->rate.value / (double)model->rate.length);
    pricer->slope = whole ? floor(slope * (1 - 1e-14)) : slope;
    pricer->lift = whole ? 2 : 0;
    memcpy(pricer->scrap.value, prices, types * sizeof *prices);
    /* Where a bar must be full, a piece of no worth may be what fills it. */
    pricer->scrap.useless = pricer->waste < pricer->capacity ? -1 : 0;
    pricer->back.useless = 0;
    fill_table(pricer, &pricer->scrap, pricer->waste);
    if (pricer->back.best == NULL)
        return;
    for (size_t i = 0; i < types; i++)
        pricer->back.value[i] = prices[i] - pricer->slope * (double)pricer->scope->width[i];
    fill_table(pricer, &pricer->back, pricer->capacity);
}
