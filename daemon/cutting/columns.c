/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/columns.h"

#include <stdlib.h>
#include <string.h>

/* On average; with more of them the columns are not small ones. */
enum { PARTS_A_COLUMN = 32 };

/* The multiset that is built up, one type after the other. */
struct building {
    struct columns *columns;
    struct layout_part *parts;
    size_t part_count;
    int64_t fill, capacity; /* the largest of any class */
    size_t most;
    int64_t steps;
    bool batches;   /* some type may come from some classes only */
    int32_t *order; /* the classes, unlimited ones first */
    size_t unlimited, order_count;
    bool no_memory;
};

static bool room_for(struct columns *columns, size_t entries) {
    if (columns->count == columns->room) {
        size_t room = columns->room * 2 + 256;
        struct column *list = realloc(columns->list, room * sizeof *list);
        if (list == NULL)
            return false;
        columns->list = list;
        columns->room = room;
    }
    if (columns->entries + entries > columns->entry_room) {
        size_t room = (columns->entries + entries) * 2 + 1024;
        uint16_t *rows = realloc(columns->rows, room * sizeof *rows);
        if (rows == NULL)
            return false;
        columns->rows = rows;
        columns->entry_room = room;
    }
    return true;
}

static bool add(struct columns *columns, int32_t stock, bool returns, int64_t cost,
                const struct layout_part *parts, size_t part_count) {
    const struct model *model = columns->model;
    size_t entries = 2;
    for (size_t i = 0; i < part_count; i++)
        entries += (size_t)parts[i].count;
    if (entries > COLUMN_ENTRIES_MOST || !room_for(columns, entries))
        return false;
    int64_t supply = model->stocks[stock].supply;
    struct column *column = &columns->list[columns->count++];
    *column = (struct column){.cost = cost,
                              .most = supply == CUTTING_UNLIMITED ? INT64_MAX : supply,
                              .stock = stock,
                              .returns = returns,
                              .first = (uint32_t)columns->entries};
    for (size_t i = 0; i < part_count; i++) {
        for (int32_t unit = 0; unit < parts[i].count; unit++)
            columns->rows[columns->entries++] = (uint16_t)parts[i].type;
        int64_t times = model->types[parts[i].type].demand / parts[i].count;
        if (times < column->most)
            column->most = times;
    }
    columns->rows[columns->entries++] = (uint16_t)(columns->stock_row + (size_t)stock);
    if (returns && columns->place_row < columns->row_count)
        columns->rows[columns->entries++] = (uint16_t)columns->place_row;
    column->end = (uint32_t)columns->entries;
    return true;
}

static bool begin(const struct model *model, struct columns *columns) {
    bool places = model->problem->remainder.places != CUTTING_UNLIMITED;
    *columns = (struct columns){.model = model,
                                .types = model->type_count,
                                .stock_row = model->type_count,
                                .place_row = model->type_count + model->stock_count};
    columns->row_count = columns->place_row + places;
    return columns->row_count <= COLUMN_ROWS_MOST;
}

/* The multiset on the class; where places are limited, also without the remainder going back. */
static bool add_ways(struct building *building, int32_t stock, int64_t worth) {
    struct columns *columns = building->columns;
    const struct model_stock *bar = &columns->model->stocks[stock];
    bool limited = columns->place_row < columns->row_count;
    building->no_memory =
        !add(columns, stock, worth > 0, bar->cost - worth, building->parts, building->part_count) ||
        (limited && worth > 0 &&
         !add(columns, stock, false, bar->cost, building->parts, building->part_count));
    return !building->no_memory && columns->count <= building->most &&
           columns->entries <= building->most * PARTS_A_COLUMN;
}

static bool allows(const struct building *building, int32_t stock) {
    bool all = true;
    for (size_t i = 0; all && building->batches && i < building->part_count; i++)
        all = model_allows(building->columns->model, building->parts[i].type, stock);
    return all;
}

/* Classes stand in falling order of capacity: from the first that is too small on, none holds the multiset. */
static bool add_multiset(struct building *building) {
    const struct model *model = building->columns->model;
    int64_t least = INT64_MAX, least_worth = 0, worth;
    int32_t cheapest = -1;
    bool places = building->columns->place_row < building->columns->row_count;
    for (size_t n = 0; n < building->order_count; n++) {
        int32_t i = building->order[n];
        const struct model_stock *stock = &model->stocks[i];
        bool unlimited = n < building->unlimited;
        if (n == building->unlimited && cheapest >= 0 && !add_ways(building, cheapest, least_worth))
            return false;
        if (building->fill > stock->capacity || !allows(building, i)) {
            if (!unlimited && building->fill > stock->capacity)
                return true;
            continue;
        }
        worth = model_worth(model, stock, building->fill);
        if (stock->cost - worth >= least)
            continue;
        if ((!unlimited || places) && !add_ways(building, i, worth))
            return false;
        if (unlimited && !places) {
            least = stock->cost - worth;
            least_worth = worth;
            cheapest = i;
        }
    }
    return building->order_count > building->unlimited || cheapest < 0 ||
           add_ways(building, cheapest, least_worth);
}

static bool extend(struct building *building, int32_t from) {
    const struct model *model = building->columns->model;
    for (int32_t i = from; i < (int32_t)model->type_count; i++) {
        int64_t width = model->types[i].width, most = (building->capacity - building->fill) / width;
        if (most > model->types[i].demand)
            most = model->types[i].demand;
        if (most == 0)
            continue;
        struct layout_part *part = &building->parts[building->part_count++];
        bool fine = true;
        for (int32_t count = 1; fine && count <= most; count++) {
            *part = (struct layout_part){i, count};
            building->fill += width;
            fine = --building->steps >= 0 && add_multiset(building) && extend(building, i + 1);
        }
        building->part_count--;
        if (!fine)
            return false;
        building->fill -= most * width;
    }
    return true;
}

/* False for want of memory. */
static bool prepare(const struct model *model, struct building *building) {
    building->parts = malloc((model->type_count + 1) * sizeof *building->parts);
    building->order = malloc((model->stock_count + 1) * sizeof *building->order);
    if (building->parts == NULL || building->order == NULL)
        return false;
    for (int round = 0; round < 2; round++)
        for (size_t i = 0; i < model->stock_count; i++)
            if ((model->stocks[i].supply == CUTTING_UNLIMITED) == (round == 0)) {
                building->order[building->order_count++] = (int32_t)i;
                building->unlimited += round == 0;
            }
    for (size_t i = 0; i < model->stock_count; i++)
        if (model->stocks[i].capacity > building->capacity)
            building->capacity = model->stocks[i].capacity;
    for (size_t i = 0; i < model->type_count; i++)
        building->batches = building->batches || model->types[i].batch >= 0;
    return true;
}

bool columns_all(const struct model *model, size_t most, int64_t steps, struct columns *columns,
                 bool *no_memory) {
    struct building building = {.columns = columns, .most = most, .steps = steps};
    if (!begin(model, columns))
        return false;
    building.no_memory = !prepare(model, &building);
    bool fine = !building.no_memory && extend(&building, 0);
    *no_memory = building.no_memory;
    free(building.parts);
    free(building.order);
    if (!fine)
        columns_free(columns);
    return fine;
}

bool columns_from(const struct engine *engine, const struct choice_list *list, struct columns *columns) {
    bool fine = begin(engine->model, columns);
    for (size_t i = 0; fine && i < list->count; i++) {
        const struct pattern *pattern = &engine->pool.patterns[list->patterns[i]];
        fine = add(columns, pattern->stock, pattern->returns, pattern->cost,
                   engine->pool.parts + pattern->first, pattern->parts);
    }
    if (!fine)
        columns_free(columns);
    return fine;
}

bool columns_keep(const struct columns *all, const uint32_t *kept, size_t count, struct columns *columns) {
    size_t entries = 0;
    for (size_t j = 0; j < count; j++)
        entries += all->list[kept[j]].end - all->list[kept[j]].first;
    *columns = *all;
    columns->list = malloc((count + 1) * sizeof *columns->list);
    columns->rows = malloc((entries + 1) * sizeof *columns->rows);
    columns->count = columns->room = count;
    columns->entries = columns->entry_room = entries;
    if (columns->list == NULL || columns->rows == NULL) {
        columns_free(columns);
        return false;
    }
    uint32_t at = 0;
    for (size_t j = 0; j < count; j++) {
        const struct column *from = &all->list[kept[j]];
        uint32_t length = from->end - from->first;
        memcpy(columns->rows + at, all->rows + from->first, length * sizeof *columns->rows);
        columns->list[j] = *from;
        columns->list[j].first = at;
        at += length;
        columns->list[j].end = at;
    }
    return true;
}

void columns_free(struct columns *columns) {
    free(columns->list);
    free(columns->rows);
    *columns = (struct columns){0};
}

size_t columns_bytes(const struct columns *columns) {
    return columns->room * sizeof *columns->list + columns->entry_room * sizeof *columns->rows;
}

void columns_place(const struct columns *columns, size_t column, int64_t times, struct layout_part *parts,
                   struct layout *layout) {
    const struct column *from = &columns->list[column];
    int64_t fill = 0;
    size_t count = 0;
    for (size_t i = from->first; i < from->end && columns->rows[i] < columns->types; i++) {
        int32_t type = columns->rows[i];
        fill += columns->model->types[type].width;
        if (count > 0 && parts[count - 1].type == type)
            parts[count - 1].count++;
        else
            parts[count++] = (struct layout_part){type, 1};
    }
    layout_add(layout, from->stock, times, fill, parts, count);
}
