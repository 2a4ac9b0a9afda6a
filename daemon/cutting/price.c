/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/price.h"

#include <string.h>

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
    return *table_most(pricer, table_of(pricer, back), 0, limit) + whole_worth(pricer, stock, back);
}

struct dig {
    struct pricer *pricer;
    const struct table *table;
    int32_t stock;
    bool back;
    size_t item_count, sorted; /* the first `sorted` items stand widest first */
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

/* The types that may be used, close together. */
static void gather_items(struct dig *dig) {
    const struct pricer *pricer = dig->pricer;
    const struct scope *scope = pricer->scope;
    size_t count = 0;
    for (size_t i = 0; i < scope->type_count; i++) {
        if (i == scope->model->type_count)
            dig->sorted = count;
        if (pricer->most[i] <= 0 || pricer->left_out[i] || scope->width[i] > dig->limit ||
            !scope_allows(scope, (int32_t)i, dig->stock))
            continue;
        pricer->items[count++] = (struct item){.value = dig->table->value[i],
                                               .width = scope->width[i],
                                               .most = pricer->most[i],
                                               .row = table_most(pricer, dig->table, i, 0),
                                               .next = table_most(pricer, dig->table, i + 1, 0),
                                               .type = (int32_t)i};
    }
    dig->item_count = count;
    if (scope->type_count == scope->model->type_count)
        dig->sorted = count;
}

/* The model's own types stand widest first: those too wide are passed over at once. */
static size_t first_fitting(const struct dig *dig, size_t from, int64_t room) {
    const struct item *items = dig->pricer->items;
    size_t low = from, high = dig->sorted;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (items[middle].width > room)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static void dig_down(struct dig *dig, size_t from, int64_t room, double value) {
    struct pricer *pricer = dig->pricer;
    int64_t cell = room >> pricer->shift;
    keep(dig, room, value);
    for (size_t i = from; i < dig->item_count; i++) {
        const struct item *item = &pricer->items[i];
        if (item->width > room) {
            if (i >= dig->sorted)
                continue;
            i = first_fitting(dig, i, room);
            if (i == dig->item_count)
                return;
            item = &pricer->items[i];
        }
        if ((++dig->passed & 15) == 0 && --dig->steps < 0)
            return;
        if (dig->base + value + item->row[cell] <= dig->best)
            return;
        /* A bar may pay by its remainder alone, but something has to be cut from it: the first piece may be any. */
        if ((item->value <= dig->useless && dig->depth > 0) || item->width > room || clashes(dig, item->type))
            continue;
        int64_t most = item->most;
        if (most * item->width > room)
            most = room / item->width;
        for (int64_t count = most; count > 0; count--) {
            int64_t left = room - count * item->width;
            double now = value + (double)count * item->value;
            if (dig->base + now + item->next[left >> pricer->shift] <= dig->best)
                continue;
            if (--dig->steps < 0)
                return;
            pricer->stack[dig->depth++] = (struct layout_part){item->type, (int32_t)count};
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
    gather_items(&dig);
    if (dig.limit > 0)
        dig_down(&dig, 0, dig.limit, 0);
    found->exact = dig.steps >= 0;
    watch_over(pricer->watch, (steps - dig.steps) / 8 + 1);
}
