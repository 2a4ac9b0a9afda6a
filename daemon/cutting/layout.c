/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/layout.h"

#include <stdlib.h>
#include <string.h>

void layout_free(struct layout *layout) {
    free(layout->bars);
    free(layout->parts);
    *layout = (struct layout){0};
}

void layout_reset(struct layout *layout) {
    layout->bar_count = layout->part_count = 0;
    layout->cost = layout->unmet = 0;
    layout->no_memory = false;
}

static bool room_for(struct layout *layout, size_t bars, size_t parts) {
    if (layout->bar_count + bars > layout->bar_room) {
        size_t room = (layout->bar_count + bars) * 2 + 16;
        struct layout_bar *more = realloc(layout->bars, room * sizeof *more);
        if (more == NULL)
            return false;
        layout->bars = more;
        layout->bar_room = room;
    }
    if (layout->part_count + parts > layout->part_room) {
        size_t room = (layout->part_count + parts) * 2 + 64;
        struct layout_part *more = realloc(layout->parts, room * sizeof *more);
        if (more == NULL)
            return false;
        layout->parts = more;
        layout->part_room = room;
    }
    return true;
}

void layout_add(struct layout *layout, int32_t stock, int64_t times, int64_t fill,
                const struct layout_part *parts, size_t part_count) {
    if (!room_for(layout, 1, part_count)) {
        layout->no_memory = true;
        return;
    }
    layout->bars[layout->bar_count++] = (struct layout_bar){
        .stock = stock, .times = times, .fill = fill, .first = layout->part_count, .parts = part_count};
    if (part_count > 0)
        memcpy(layout->parts + layout->part_count, parts, part_count * sizeof *parts);
    layout->part_count += part_count;
}

bool layout_copy(struct layout *target, const struct layout *source) {
    struct layout fresh = {0};
    if (!room_for(&fresh, source->bar_count, source->part_count)) {
        layout_free(&fresh);
        return false;
    }
    if (source->bar_count > 0)
        memcpy(fresh.bars, source->bars, source->bar_count * sizeof *fresh.bars);
    if (source->part_count > 0)
        memcpy(fresh.parts, source->parts, source->part_count * sizeof *fresh.parts);
    fresh.bar_count = source->bar_count;
    fresh.part_count = source->part_count;
    fresh.cost = source->cost;
    fresh.unmet = source->unmet;
    fresh.no_memory = source->no_memory;
    layout_free(target);
    *target = fresh;
    return true;
}

bool layout_better(const struct layout *one, const struct layout *other) {
    if (one->no_memory || other->no_memory)
        return other->no_memory && !one->no_memory;
    return one->unmet != other->unmet ? one->unmet < other->unmet : one->cost < other->cost;
}

struct returning {
    int64_t worth, remainder;
    size_t bar;
};

static int dearest_first(const void *left, const void *right) {
    const struct returning *a = left, *b = right;
    if (a->worth != b->worth)
        return a->worth > b->worth ? -1 : 1;
    if (a->remainder != b->remainder)
        return a->remainder > b->remainder ? -1 : 1;
    return a->bar < b->bar ? -1 : a->bar > b->bar;
}

/* Those that find a place, in order of worth; the last one may be split. */
static void hand_out_places(struct layout *layout, const struct returning *candidates, size_t count,
                            int64_t places) {
    for (size_t i = 0; i < count && places > 0; i++) {
        struct layout_bar *bar = &layout->bars[candidates[i].bar];
        if (bar->times > places) {
            if (!room_for(layout, 1, 0)) {
                layout->no_memory = true;
                return;
            }
            bar = &layout->bars[candidates[i].bar];
            struct layout_bar rest = *bar;
            rest.times = bar->times - places;
            bar->times = places;
            layout->bars[layout->bar_count++] = rest;
        }
        bar->returns = true;
        places -= bar->times;
        layout->cost -= candidates[i].worth * bar->times;
    }
}

void layout_settle(const struct model *model, struct layout *layout) {
    const struct cutting_remainder *rule = &model->problem->remainder;
    struct returning *candidates = malloc((layout->bar_count + 1) * sizeof *candidates);
    size_t count = 0;
    layout->cost = 0;
    if (candidates == NULL) {
        layout->no_memory = true;
        return;
    }
    for (size_t i = 0; i < layout->bar_count; i++) {
        struct layout_bar *bar = &layout->bars[i];
        const struct model_stock *stock = &model->stocks[bar->stock];
        int64_t remainder = model_remainder(stock, bar->fill);
        layout->cost += stock->cost * bar->times;
        bar->returns = false;
        if (remainder >= rule->usable)
            candidates[count++] = (struct returning){model_worth(model, stock, bar->fill), remainder, i};
    }
    qsort(candidates, count, sizeof *candidates, dearest_first);
    hand_out_places(layout, candidates, count, rule->places == CUTTING_UNLIMITED ? INT64_MAX : rule->places);
    free(candidates);
}

bool residue_make(const struct model *model, struct residue *residue) {
    residue->demand = calloc(model->type_count + 1, sizeof *residue->demand);
    residue->supply = calloc(model->stock_count + 1, sizeof *residue->supply);
    residue->next = calloc(model->type_count + 1, sizeof *residue->next);
    if (residue->demand == NULL || residue->supply == NULL || residue->next == NULL) {
        residue_free(residue);
        return false;
    }
    residue_reset(model, residue);
    return true;
}

void residue_free(struct residue *residue) {
    free(residue->demand);
    free(residue->supply);
    free(residue->next);
    *residue = (struct residue){0};
}

void residue_reset(const struct model *model, struct residue *residue) {
    residue->pieces = 0;
    for (size_t i = 0; i <= model->type_count; i++)
        residue->next[i] = (int32_t)i;
    for (size_t i = 0; i < model->type_count; i++) {
        residue->demand[i] = model->types[i].demand;
        residue->pieces += residue->demand[i];
    }
    for (size_t i = 0; i < model->stock_count; i++)
        residue->supply[i] =
            model->stocks[i].supply == CUTTING_UNLIMITED ? INT64_MAX : model->stocks[i].supply;
    int64_t places = model->problem->remainder.places;
    residue->places = places == CUTTING_UNLIMITED ? INT64_MAX : places;
}

int32_t residue_next(struct residue *residue, int32_t type) {
    int32_t found = type;
    while (residue->next[found] != found)
        found = residue->next[found];
    while (residue->next[type] != found && type != found) {
        int32_t after = residue->next[type];
        residue->next[type] = found;
        type = after;
    }
    return found;
}

int64_t residue_times(const struct residue *residue, int32_t stock, const struct layout_part *parts,
                      size_t part_count) {
    int64_t times = residue->supply[stock];
    for (size_t i = 0; i < part_count; i++) {
        int64_t most = residue->demand[parts[i].type] / parts[i].count;
        if (most < times)
            times = most;
    }
    return times;
}

void residue_take(const struct model *model, struct residue *residue, int32_t stock, int64_t times,
                  int64_t fill, const struct layout_part *parts, size_t part_count) {
    for (size_t i = 0; i < part_count; i++) {
        residue->demand[parts[i].type] -= parts[i].count * times;
        residue->pieces -= parts[i].count * times;
        if (residue->demand[parts[i].type] == 0)
            residue->next[parts[i].type] = parts[i].type + 1;
    }
    if (residue->supply[stock] != INT64_MAX)
        residue->supply[stock] -= times;
    bool returns = model_remainder(&model->stocks[stock], fill) >= model->problem->remainder.usable;
    if (returns && residue->places != INT64_MAX)
        residue->places -= residue->places < times ? residue->places : times;
}
