/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/price.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Up to so many cells in all the table is exact; else a bar has so many. */
enum { EXACT_CELLS = 600000, GRID_CELLS = 4096 };

static int64_t widest_capacity(const struct scope *scope) {
    int64_t widest = 0;
    for (size_t i = 0; i < scope->model->stock_count; i++)
        if (scope->most[i] > 0 && scope->model->stocks[i].capacity > widest)
            widest = scope->model->stocks[i].capacity;
    return widest;
}

static bool make_arrays(struct pricer *pricer) {
    size_t types = pricer->scope->type_count;
    size_t cells = (size_t)(pricer->capacity >> pricer->shift) + 1;
    pricer->cell_width = calloc(types + 1, sizeof *pricer->cell_width);
    pricer->most = calloc(types + 1, sizeof *pricer->most);
    pricer->left_out = calloc(types + 1, 1);
    pricer->stack = calloc(types + 1, sizeof *pricer->stack);
    bool fine = pricer->cell_width && pricer->most && pricer->left_out && pricer->stack;
    struct table *const tables[] = {&pricer->scrap, &pricer->back};
    bool back = pricer->scope->model->problem->remainder.usable <= ELL_LENGTH_MAX;
    for (int i = 0; fine && i < 1 + back; i++) {
        tables[i]->cells = cells;
        tables[i]->best = malloc((types + 1) * cells * sizeof(double));
        tables[i]->value = calloc(types + 1, sizeof(double));
        fine = tables[i]->best != NULL && tables[i]->value != NULL;
        pricer->room += (types + 1) * cells;
    }
    return fine;
}

bool pricer_make(const struct scope *scope, struct watch *watch, struct pricer *pricer) {
    *pricer = (struct pricer){.scope = scope, .watch = watch, .waste = scope->waste};
    pricer->capacity = widest_capacity(scope);
    if (pricer->capacity * (int64_t)(scope->type_count + 1) > EXACT_CELLS && pricer->capacity > GRID_CELLS) {
        int64_t exact_most = scope->waste < pricer->capacity ? 8 * EXACT_CELLS : EXACT_CELLS;
        if (pricer->capacity * (int64_t)(scope->type_count + 1) > exact_most)
            while (pricer->capacity >> pricer->shift >= GRID_CELLS)
                pricer->shift++;
    }
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
    *pricer = (struct pricer){0};
}

size_t pricer_bytes(const struct pricer *pricer) {
    return pricer->room * sizeof(double);
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

/* Row i from row i + 1: copies in bundles of 1, 2, 4, ..., the rest. The first bundle reads the row below;
 * the others rewrite the row from its end, so that what they read is still without them. */
static void fill_row(const struct pricer *pricer, struct table *table, size_t i) {
    double *row = table->best + i * table->cells;
    const double *below = row + table->cells;
    size_t width = pricer->cell_width[i];
    double value = table->value[i];
    int64_t left = pricer->most[i];
    if (left <= 0 || value <= table->useless || width >= table->cells) {
        memcpy(row, below, table->cells * sizeof *row);
        return;
    }
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

static void fill_table(struct pricer *pricer, struct table *table, int64_t waste) {
    size_t types = pricer->scope->type_count;
    double *last = table->best + types * table->cells;
    /* Rounded down widths leave up to one cell a piece more than there is. */
    int64_t slack = (waste >> pricer->shift) + (pricer->shift > 0 ? pricer->longest_pattern : 0);
    for (size_t x = 0; x < table->cells; x++)
        last[x] = (int64_t)x <= slack ? 0 : -1e300;
    for (size_t i = types; i-- > 0;)
        fill_row(pricer, table, i);
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

bool pricer_goes_back(const struct pricer *pricer, int32_t stock) {
    const struct model *model = pricer->scope->model;
    return pricer->back.best != NULL && pricer->scope->places > 0 &&
           model->stocks[stock].rest - model->problem->remainder.usable > 0;
}

/* What of the class may be filled, and what the remainder is worth at most when nothing is cut from it. */
static int64_t limit_of(const struct pricer *pricer, int32_t stock, bool back) {
    const struct model_stock *bar = &pricer->scope->model->stocks[stock];
    int64_t limit = bar->rest - pricer->scope->model->problem->remainder.usable;
    return back && limit < bar->capacity ? limit : bar->capacity;
}

static double whole_worth(const struct pricer *pricer, int32_t stock, bool back) {
    const struct model_stock *bar = &pricer->scope->model->stocks[stock];
    return back ? (pricer->slope + pricer->lift) * (double)bar->rest : 0;
}

static const struct table *table_of(const struct pricer *pricer, bool back) {
    return back ? &pricer->back : &pricer->scrap;
}

double pricer_most(const struct pricer *pricer, int32_t stock, bool back) {
    int64_t limit = limit_of(pricer, stock, back);
    if (limit < 0)
        return -1e300;
    return table_of(pricer, back)->best[limit >> pricer->shift] + whole_worth(pricer, stock, back);
}

struct dig {
    struct pricer *pricer;
    const struct table *table;
    int32_t stock;
    bool back;
    int64_t limit, steps, passed, waste;
    double useless; /* a type of this value or less cannot help, whatever the worth's rounding gives */
    double base;    /* added to the pieces' value to bound the pattern's */
    double best;
    size_t depth;
    struct priced *found;
};

/* The pattern's exact value: the line of worth replaced by the worth itself. */
static double exact_value(const struct dig *dig, int64_t room, double value) {
    if (!dig->back)
        return value;
    const struct model *model = dig->pricer->scope->model;
    const struct model_stock *bar = &model->stocks[dig->stock];
    int64_t fill = dig->limit - room;
    return value + dig->pricer->slope * (double)fill +
           dig->pricer->unit * (double)model_worth(model, bar, fill);
}

static void keep(struct dig *dig, int64_t room, double value) {
    if (room > dig->waste || dig->depth == 0)
        return;
    double exact = exact_value(dig, room, value);
    if (exact <= dig->best)
        return;
    dig->best = exact;
    memcpy(dig->found->parts, dig->pricer->stack, dig->depth * sizeof *dig->found->parts);
    dig->found->part_count = dig->depth;
    dig->found->value = exact;
}

static bool clashes(const struct dig *dig, int32_t type) {
    const struct scope *scope = dig->pricer->scope;
    if (scope->apart == NULL)
        return false;
    for (size_t i = 0; i < dig->depth; i++)
        if (scope_apart(scope, dig->pricer->stack[i].type, type))
            return true;
    return false;
}

/* The model's own types stand widest first: those too wide are passed over at once. */
static size_t first_fitting(const struct scope *scope, size_t from, int64_t room) {
    size_t own = scope->model->type_count, low = from, high = own;
    if (from >= own || scope->width[from] <= room)
        return from;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (scope->width[middle] > room)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static void dig_down(struct dig *dig, size_t from, int64_t room, double value) {
    struct pricer *pricer = dig->pricer;
    const struct scope *scope = pricer->scope;
    size_t cells = dig->table->cells, types = scope->type_count;
    const double *column = dig->table->best + (room >> pricer->shift);
    keep(dig, room, value);
    for (size_t i = from; i < types; i++) {
        i = first_fitting(scope, i, room);
        if (i == types)
            return;
        if ((++dig->passed & 15) == 0 && --dig->steps < 0)
            return;
        if (dig->base + value + column[i * cells] <= dig->best)
            return;
        /* A bar may pay by its remainder alone, but something has to be cut from it: the first piece may be any. */
        bool helps = dig->table->value[i] > dig->useless || dig->depth == 0;
        if (!helps || pricer->most[i] <= 0 || scope->width[i] > room || pricer->left_out[i] ||
            !scope_allows(scope, (int32_t)i, dig->stock) || clashes(dig, (int32_t)i))
            continue;
        int64_t most = room / scope->width[i];
        if (pricer->most[i] < most)
            most = pricer->most[i];
        const double *next = dig->table->best + (i + 1) * cells;
        for (int64_t count = most; count > 0; count--) {
            int64_t left = room - count * scope->width[i];
            double now = value + (double)count * dig->table->value[i];
            if (dig->base + now + next[left >> pricer->shift] <= dig->best)
                continue;
            if (--dig->steps < 0)
                return;
            pricer->stack[dig->depth++] = (struct layout_part){(int32_t)i, (int32_t)count};
            dig_down(dig, i + 1, left, now);
            dig->depth--;
        }
    }
}

void pricer_best(struct pricer *pricer, int32_t stock, bool back, double floor, int64_t steps,
                 struct priced *found) {
    struct dig dig = {.pricer = pricer,
                      .table = table_of(pricer, back),
                      .stock = stock,
                      .back = back,
                      .limit = limit_of(pricer, stock, back),
                      .steps = steps,
                      .waste = back ? INT64_MAX : pricer->waste,
                      .useless = back ? -pricer->unit : pricer->scrap.useless,
                      .base = whole_worth(pricer, stock, back),
                      .best = floor,
                      .found = found};
    found->part_count = 0;
    found->value = floor;
    if (dig.limit > 0)
        dig_down(&dig, 0, dig.limit, 0);
    found->exact = dig.steps >= 0;
    watch_over(pricer->watch, (steps - dig.steps) / 8 + 1);
}
