/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/construct.h"

#include "cutting/fill.h"

#include <stdlib.h>
#include <string.h>

/* Limited classes looked at for one bar; with thousands of offcuts a window moves over them. */
enum { LOOK_AT_MOST = 64, KEPT_PARTS = 24 };

struct choice {
    int32_t stock;
    double score; /* cost for what it gives; less is better */
};

/* A plan in the making. The best fill of each class is kept: what is wanted only becomes less, so it stays the best as long
 * as all of it is still wanted. */
struct making {
    const struct model *model;
    const struct construct *how;
    struct residue *residue;
    struct watch *watch;
    struct fill_item *items; /* of a rule by price: what is wanted, where `listed` */
    bool listed;
    struct fill fill;  /* the one looked at last */
    struct fill *kept; /* of each class; NULL where there are too many classes */
    size_t kept_room;  /* parts of each */
    size_t window;
};

static void fill_by(struct making *making, int32_t stock) {
    const struct model *model = making->model;
    const struct construct *how = making->how;
    if (how->rule == CONSTRUCT_LONGEST)
        fill_longest(model, making->residue, stock, &making->fill);
    else if (how->rule == CONSTRUCT_LEAST_SLACK)
        fill_least_slack(model, making->residue, stock, how->steps, &making->fill);
    else if (making->items != NULL) {
        if (!making->listed)
            fill_list(model, making->residue, how->price, how->order, making->items);
        making->listed = true;
        fill_dearest(model, making->items, stock, how->steps, &making->fill);
    }
}

/* The class's best fill. */
static const struct fill *fill_of(struct making *making, int32_t stock) {
    struct fill *kept = making->kept != NULL ? &making->kept[stock] : NULL;
    if (kept != NULL && kept->part_count > 0 &&
        residue_times(making->residue, stock, kept->parts, kept->part_count) > 0)
        return kept;
    fill_by(making, stock);
    if (kept == NULL || making->fill.part_count > making->kept_room)
        return &making->fill;
    memcpy(kept->parts, making->fill.parts, making->fill.part_count * sizeof *kept->parts);
    kept->part_count = making->fill.part_count;
    kept->width = making->fill.width;
    return kept;
}

/* Net cost for what the fill gives: its width, or what its types are thought to cost. */
static double score(const struct making *making, int32_t stock, const struct fill *fill) {
    const struct model_stock *bar = &making->model->stocks[stock];
    bool places = making->residue->places > 0;
    double net = (double)(bar->cost - (places ? model_worth(making->model, bar, fill->width) : 0));
    double gives = (double)fill->width;
    if (making->how->rule == CONSTRUCT_DEAREST) {
        gives = 0;
        for (size_t i = 0; i < fill->part_count; i++)
            gives += making->how->price[fill->parts[i].type] * fill->parts[i].count;
    }
    return (net + 1) / gives;
}

/* False when the class has nothing to fill. */
static bool look_at(struct making *making, int32_t stock, struct choice *best) {
    const struct fill *fill = fill_of(making, stock);
    if (fill->part_count == 0)
        return false;
    double now = score(making, stock, fill);
    if (best->stock < 0 || now < best->score)
        *best = (struct choice){stock, now};
    return true;
}

/* The class whose fill scores best; -1 when nothing fits anywhere. Limited classes are looked at in a moving
 * window. */
static int32_t choose(struct making *making) {
    struct residue *residue = making->residue;
    struct choice best = {-1, 0};
    size_t count = making->model->stock_count, looked = 0;
    for (size_t n = 0; n < count && looked < LOOK_AT_MOST; n++) {
        int32_t stock = (int32_t)((making->window + n) % count);
        if (residue->supply[stock] == 0)
            continue;
        if (look_at(making, stock, &best))
            looked++;
        /* What is wanted only becomes less: nothing will fit later either. By price, a fill of no worth is none. */
        else if (making->how->rule != CONSTRUCT_DEAREST)
            residue->supply[stock] = 0;
    }
    for (size_t i = 0; count > LOOK_AT_MOST && i < count; i++)
        if (residue->supply[i] == INT64_MAX)
            look_at(making, (int32_t)i, &best);
    making->window = count > LOOK_AT_MOST ? (making->window + LOOK_AT_MOST / 2) % count : 0;
    watch_over(making->watch, (int64_t)looked * 8 + 8);
    return best.stock;
}

/* Room for a fill of each class, one block; without it every fill is made anew. */
static void keep_fills(struct making *making) {
    const struct model *model = making->model;
    size_t stocks = model->stock_count, parts = model->type_count;
    if (stocks == 0 || stocks > LOOK_AT_MOST || parts == 0)
        return;
    parts = parts < KEPT_PARTS ? parts : KEPT_PARTS;
    making->kept = malloc(stocks * (sizeof *making->kept + parts * sizeof *making->fill.parts));
    if (making->kept == NULL)
        return;
    struct layout_part *room = (struct layout_part *)(void *)(making->kept + stocks);
    for (size_t i = 0; i < stocks; i++)
        making->kept[i] = (struct fill){.parts = room + i * parts};
    making->kept_room = parts;
}

void construct_layout(const struct model *model, const struct construct *how, struct residue *residue,
                      struct layout_part *parts, struct watch *watch, struct layout *layout) {
    static const struct construct quickly = {.rule = CONSTRUCT_LONGEST};
    struct making making = {
        .model = model, .how = how, .residue = residue, .watch = watch, .fill = {.parts = parts}};
    keep_fills(&making);
    if (how->rule == CONSTRUCT_DEAREST)
        making.items = malloc((model->type_count + 1) * sizeof *making.items);
    layout->no_memory = layout->no_memory || (how->rule == CONSTRUCT_DEAREST && making.items == NULL);
    while (residue->pieces > 0 && !layout->no_memory) {
        if (watch->ended)
            making.how = &quickly;
        int32_t stock = choose(&making);
        if (stock < 0)
            break;
        const struct fill *fill = fill_of(&making, stock);
        int64_t times = residue_times(residue, stock, fill->parts, fill->part_count);
        if (residue->places > 0 && residue->places < times &&
            model_remainder(&model->stocks[stock], fill->width) >= model->problem->remainder.usable)
            times = residue->places;
        layout_add(layout, stock, times, fill->width, fill->parts, fill->part_count);
        residue_take(model, residue, stock, times, fill->width, fill->parts, fill->part_count);
        making.listed = false;
    }
    free(making.items);
    free(making.kept);
    layout->unmet = residue->pieces;
    layout_settle(model, layout);
}
