/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/fill.h"

static int64_t fits(const struct residue *residue, int32_t type, int64_t width, int64_t room) {
    int64_t most = room / width;
    return residue->demand[type] < most ? residue->demand[type] : most;
}

static void fill_push(const struct model *model, struct fill *fill, int32_t type, int64_t count) {
    fill->parts[fill->part_count++] = (struct layout_part){type, (int32_t)count};
    fill->width += model->types[type].width * count;
}

static void fill_pop(const struct model *model, struct fill *fill) {
    const struct layout_part *last = &fill->parts[--fill->part_count];
    fill->width -= model->types[last->type].width * last->count;
}

/* The first type from `from` on that is still wanted and no wider than `room`. */
static int32_t first_that_fits(const struct model *model, struct residue *residue, int32_t from,
                               int64_t room) {
    int32_t low = from, high = (int32_t)model->type_count;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (model->types[middle].width > room)
            low = middle + 1;
        else
            high = middle;
    }
    return residue_next(residue, low);
}

void fill_longest(const struct model *model, struct residue *residue, int32_t stock, struct fill *fill) {
    int64_t room = model->stocks[stock].capacity;
    fill->part_count = 0;
    fill->width = 0;
    int32_t type = first_that_fits(model, residue, 0, room);
    while (type < (int32_t)model->type_count) {
        int64_t count = fits(residue, type, model->types[type].width, room - fill->width);
        if (model_allows(model, type, stock))
            fill_push(model, fill, type, count);
        type = first_that_fits(model, residue, type + 1, room - fill->width);
    }
}

/* Both searches walk the same tree: types in order, counts from most to none. A walk keeps the current
 * pattern in `now` and the best seen in `best`. */
struct walk {
    const struct model *model;
    struct residue *residue;
    int32_t stock;
    int64_t capacity, steps, passed;
    struct fill now, best;
    double now_price, best_price;
};

/* A pattern's parts live in one array: the best in its first half, the current in the second. */
static void keep_best(struct walk *walk) {
    for (size_t i = 0; i < walk->now.part_count; i++)
        walk->best.parts[i] = walk->now.parts[i];
    walk->best.part_count = walk->now.part_count;
    walk->best.width = walk->now.width;
    walk->best_price = walk->now_price;
}

/* Types passed over count a little, or a search among thousands of them would never end. */
static void pass_over(struct walk *walk) {
    if ((++walk->passed & 15) == 0)
        walk->steps--;
}

/* Width is what counts: the narrower the room left, the fewer types are looked at. */
static void walk_by_width(struct walk *walk, int32_t at) {
    const struct model *model = walk->model;
    if (walk->now.width > walk->best.width)
        keep_best(walk);
    for (; walk->steps > 0; at++) {
        int64_t room = walk->capacity - walk->now.width;
        at = first_that_fits(model, walk->residue, at, room);
        if (at >= (int32_t)model->type_count)
            return;
        pass_over(walk);
        int64_t most = fits(walk->residue, at, model->types[at].width, room);
        if (!model_allows(model, at, walk->stock))
            continue;
        if (walk->capacity <= walk->best.width)
            return;
        for (int64_t count = most; count > 0 && walk->steps > 0; count--) {
            walk->steps--;
            fill_push(model, &walk->now, at, count);
            walk_by_width(walk, at + 1);
            fill_pop(model, &walk->now);
        }
    }
}

/* The next item's ratio bounds all that follows. */
static void walk_by_price(struct walk *walk, const struct fill_item *item) {
    if (walk->now_price > walk->best_price)
        keep_best(walk);
    int64_t room = walk->capacity - walk->now.width;
    for (; item->narrowest <= room && walk->steps > 0; item++) {
        pass_over(walk);
        if (item->width > room || !model_allows(walk->model, item->type, walk->stock))
            continue;
        if (walk->now_price + item->ratio * (double)room <= walk->best_price + 1e-9)
            return;
        int64_t most = item->demand == 1 ? 1 : room / item->width;
        most = most < item->demand ? most : item->demand;
        for (int64_t count = most; count > 0 && walk->steps > 0; count--) {
            walk->steps--;
            double before = walk->now_price;
            fill_push(walk->model, &walk->now, item->type, count);
            walk->now_price += item->price * (double)count;
            walk_by_price(walk, item + 1);
            fill_pop(walk->model, &walk->now);
            walk->now_price = before;
        }
    }
}

static void walk_to(struct walk *walk, struct fill *fill) {
    walk->best = (struct fill){.parts = fill->parts};
    walk->now = (struct fill){.parts = fill->parts + walk->model->type_count};
    walk->best_price = 0;
    walk->now_price = 0;
}

void fill_least_slack(const struct model *model, struct residue *residue, int32_t stock, int64_t steps,
                      struct fill *fill) {
    struct walk walk = {.model = model,
                        .residue = residue,
                        .stock = stock,
                        .capacity = model->stocks[stock].capacity,
                        .steps = steps};
    walk_to(&walk, fill);
    size_t first = (size_t)first_that_fits(model, residue, 0, walk.capacity);
    while (first < model->type_count && !model_allows(model, (int32_t)first, stock))
        first = (size_t)first_that_fits(model, residue, (int32_t)first + 1, walk.capacity);
    if (first < model->type_count) {
        int64_t most = fits(residue, (int32_t)first, model->types[first].width, walk.capacity);
        for (int64_t count = most; count > 0 && walk.steps > 0; count--) {
            fill_push(model, &walk.now, (int32_t)first, count);
            walk_by_width(&walk, (int32_t)first + 1);
            fill_pop(model, &walk.now);
        }
    }
    fill->part_count = walk.best.part_count;
    fill->width = walk.best.width;
}

void fill_list(const struct model *model, const struct residue *residue, const double *price,
               const int32_t *order, struct fill_item *items) {
    size_t count = 0;
    for (size_t i = 0; i < model->type_count; i++) {
        int32_t type = order[i];
        int64_t width = model->types[type].width, demand = residue->demand[type];
        if (demand > 0)
            items[count++] =
                (struct fill_item){price[type], price[type] / (double)width, width, demand, width, type};
    }
    items[count].narrowest = INT64_MAX; /* nothing fits at the end */
    while (count-- > 0)
        if (items[count + 1].narrowest < items[count].narrowest)
            items[count].narrowest = items[count + 1].narrowest;
}

void fill_dearest(const struct model *model, const struct fill_item *items, int32_t stock, int64_t steps,
                  struct fill *fill) {
    struct walk walk = {
        .model = model, .stock = stock, .capacity = model->stocks[stock].capacity, .steps = steps};
    walk_to(&walk, fill);
    walk_by_price(&walk, items);
    fill->part_count = walk.best.part_count;
    fill->width = walk.best.width;
}
