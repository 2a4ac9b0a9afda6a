/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/construct.h"

#include "cutting/fill.h"

/* Limited classes looked at for one bar; with thousands of offcuts a window moves over them. */
enum { LOOK_AT_MOST = 64 };

struct choice {
    int32_t stock;
    double score; /* cost for what it gives; less is better */
};

static void fill_by(const struct model *model, const struct construct *how, struct residue *residue,
                    int32_t stock, struct fill *fill) {
    if (how->rule == CONSTRUCT_LONGEST)
        fill_longest(model, residue, stock, fill);
    else if (how->rule == CONSTRUCT_LEAST_SLACK)
        fill_least_slack(model, residue, stock, how->steps, fill);
    else
        fill_dearest(model, residue, stock, how->price, how->order, how->steps, fill);
}

/* Net cost for what the fill gives: its width, or what its types are thought to cost. */
static double score(const struct model *model, const struct construct *how, const struct residue *residue,
                    int32_t stock, const struct fill *fill) {
    const struct model_stock *bar = &model->stocks[stock];
    double net = (double)(bar->cost - (residue->places > 0 ? model_worth(model, bar, fill->width) : 0));
    double gives = (double)fill->width;
    if (how->rule == CONSTRUCT_DEAREST) {
        gives = 0;
        for (size_t i = 0; i < fill->part_count; i++)
            gives += how->price[fill->parts[i].type] * fill->parts[i].count;
    }
    return (net + 1) / gives;
}

/* The class whose fill scores best; -1 when nothing fits anywhere. Limited classes are looked at in a moving
 * window. */
static int32_t choose(const struct model *model, const struct construct *how, struct residue *residue,
                      size_t *window, struct fill *fill, struct watch *watch) {
    struct choice best = {-1, 0};
    size_t count = model->stock_count, looked = 0;
    for (size_t n = 0; n < count && looked < LOOK_AT_MOST; n++) {
        int32_t stock = (int32_t)((*window + n) % count);
        if (residue->supply[stock] == 0)
            continue;
        fill_by(model, how, residue, stock, fill);
        /* What is wanted only becomes less: nothing will fit later either. By price, a fill of no worth is none. */
        if (fill->part_count == 0 && how->rule != CONSTRUCT_DEAREST)
            residue->supply[stock] = 0;
        if (fill->part_count == 0)
            continue;
        looked++;
        double now = score(model, how, residue, stock, fill);
        if (best.stock < 0 || now < best.score)
            best = (struct choice){stock, now};
    }
    for (size_t i = 0; count > LOOK_AT_MOST && i < count; i++) {
        if (residue->supply[i] != INT64_MAX)
            continue;
        fill_by(model, how, residue, (int32_t)i, fill);
        if (fill->part_count == 0)
            continue;
        double now = score(model, how, residue, (int32_t)i, fill);
        if (best.stock < 0 || now < best.score)
            best = (struct choice){(int32_t)i, now};
    }
    *window = count > LOOK_AT_MOST ? (*window + LOOK_AT_MOST / 2) % count : 0;
    watch_over(watch, (int64_t)looked * 8 + 8);
    return best.stock;
}

void construct_layout(const struct model *model, const struct construct *how, struct residue *residue,
                      struct layout_part *parts, struct watch *watch, struct layout *layout) {
    static const struct construct quickly = {.rule = CONSTRUCT_LONGEST};
    struct fill fill = {.parts = parts};
    size_t window = 0;
    while (residue->pieces > 0 && !layout->no_memory) {
        if (watch->ended)
            how = &quickly;
        int32_t stock = choose(model, how, residue, &window, &fill, watch);
        if (stock < 0)
            break;
        fill_by(model, how, residue, stock, &fill);
        int64_t times = residue_times(residue, stock, fill.parts, fill.part_count);
        if (residue->places > 0 && residue->places < times &&
            model_remainder(&model->stocks[stock], fill.width) >= model->problem->remainder.usable)
            times = residue->places;
        layout_add(layout, stock, times, fill.width, fill.parts, fill.part_count);
        residue_take(model, residue, stock, times, fill.width, fill.parts, fill.part_count);
    }
    layout->unmet = residue->pieces;
    layout_settle(model, layout);
}
