/* Every pattern near the best. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/price.h"

struct listing {
    struct pricer *pricer;
    const struct table *table;
    const struct model_stock *bar;
    int32_t stock;
    bool back;
    int64_t limit, waste;
    int64_t *steps;
    double base, floor;
    size_t depth;
    pricer_take *take;
    void *data;
    bool ended;
};

static double exact_value(const struct listing *list, int64_t room, double value) {
    if (!list->back)
        return value;
    int64_t fill = list->limit - room;
    return value + list->pricer->slope * (double)fill +
           list->pricer->unit * (double)model_worth(list->pricer->scope->model, list->bar, fill);
}

static bool clashes(const struct listing *list, int32_t type) {
    for (size_t i = 0; i < list->depth; i++)
        if (scope_apart(list->pricer->scope, list->pricer->stack[i].type, type))
            return true;
    return false;
}

/* Unlike the search for the best one, no type is left out: one that is worth nothing may be part of a
 * pattern. */
static void list_down(struct listing *list, size_t from, int64_t room, double value) {
    struct pricer *pricer = list->pricer;
    const struct scope *scope = pricer->scope;
    size_t types = scope->type_count;
    if (list->depth > 0 && room <= list->waste && exact_value(list, room, value) >= list->floor)
        list->ended = !list->take(list->data, pricer->stack, list->depth);
    for (size_t i = from; i < types && !list->ended; i++) {
        if (list->base + value + *table_most(pricer, list->table, i, room) < list->floor)
            return;
        if (pricer->most[i] <= 0 || scope->width[i] > room || clashes(list, (int32_t)i) ||
            !scope_allows(scope, (int32_t)i, list->stock))
            continue;
        int64_t most = room / scope->width[i];
        if (pricer->most[i] < most)
            most = pricer->most[i];
        const double *next = table_most(pricer, list->table, i + 1, 0);
        for (int64_t count = most; count > 0 && !list->ended; count--) {
            int64_t left = room - count * scope->width[i];
            double now = value + (double)count * list->table->value[i];
            if (list->base + now + next[left >> pricer->shift] < list->floor)
                continue;
            bool called_off = (*list->steps & 1023) == 0 && watch_over(pricer->watch, 0);
            if (--*list->steps < 0 || called_off) {
                list->ended = true;
                return;
            }
            pricer->stack[list->depth++] = (struct layout_part){(int32_t)i, (int32_t)count};
            list_down(list, i + 1, left, now);
            list->depth--;
        }
    }
}

bool pricer_list(struct pricer *pricer, int32_t stock, bool back, double floor, int64_t *steps,
                 pricer_take *take, void *data) {
    const struct model_stock *bar = &pricer->scope->model->stocks[stock];
    int64_t limit = bar->capacity, usable = pricer->scope->model->problem->remainder.usable;
    if (back && bar->rest - usable < limit)
        limit = bar->rest - usable;
    struct listing list = {.pricer = pricer,
                           .table = back ? &pricer->back : &pricer->scrap,
                           .bar = bar,
                           .stock = stock,
                           .back = back,
                           .limit = limit,
                           .waste = back ? INT64_MAX : pricer->waste,
                           .steps = steps,
                           .base = back ? (pricer->slope + pricer->lift) * (double)bar->rest : 0,
                           .floor = floor,
                           .take = take,
                           .data = data};
    int64_t before = *steps;
    if (limit > 0)
        list_down(&list, 0, limit, 0);
    watch_over(pricer->watch, (before - *steps) / 8 + 1);
    return !list.ended;
}
