/* Best-fit decreasing over open bars. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/construct.h"

#include <stdlib.h>

struct open_bar {
    int32_t stock;
    int64_t fill;
    size_t first; /* chain of placed pieces, newest first; SIZE_MAX closes it */
};

struct placed {
    int32_t type;
    size_t next;
};

struct fitting {
    const struct model *model;
    struct open_bar *bars;
    struct placed *placed;
    int64_t *supply;
    size_t bar_count, placed_count;
};

/* The open bar that `width` fits with least left; a new one of least cost per capacity when none takes it. */
static struct open_bar *where_it_fits(struct fitting *fitting, int32_t type) {
    int64_t width = fitting->model->types[type].width;
    struct open_bar *best = NULL;
    int64_t least = INT64_MAX;
    for (size_t i = 0; i < fitting->bar_count; i++) {
        struct open_bar *bar = &fitting->bars[i];
        int64_t left = fitting->model->stocks[bar->stock].capacity - bar->fill - width;
        if (left >= 0 && left < least && model_allows(fitting->model, type, bar->stock)) {
            least = left;
            best = bar;
        }
    }
    if (best != NULL)
        return best;
    int32_t cheapest = -1;
    double rate = 0;
    for (size_t i = 0; i < fitting->model->stock_count; i++) {
        const struct model_stock *stock = &fitting->model->stocks[i];
        double now = (double)stock->cost / (double)stock->capacity;
        if (fitting->supply[i] != 0 && stock->capacity >= width &&
            model_allows(fitting->model, type, (int32_t)i) && (cheapest < 0 || now < rate)) {
            cheapest = (int32_t)i;
            rate = now;
        }
    }
    if (cheapest < 0)
        return NULL;
    fitting->supply[cheapest] -= fitting->supply[cheapest] != INT64_MAX;
    fitting->bars[fitting->bar_count] = (struct open_bar){cheapest, 0, SIZE_MAX};
    return &fitting->bars[fitting->bar_count++];
}

static void put_down(const struct fitting *fitting, struct layout_part *parts, struct layout *layout) {
    for (size_t i = 0; i < fitting->bar_count; i++) {
        const struct open_bar *bar = &fitting->bars[i];
        size_t count = 0, room = fitting->placed_count;
        for (size_t at = bar->first; at != SIZE_MAX; at = fitting->placed[at].next) {
            int32_t type = fitting->placed[at].type;
            if (count > 0 && parts[room - count].type == type)
                parts[room - count].count++;
            else
                parts[room - ++count] = (struct layout_part){type, 1};
        }
        layout_add(layout, bar->stock, 1, bar->fill, parts + room - count, count);
    }
}

void construct_best_fit(const struct model *model, struct layout *layout) {
    struct residue residue;
    layout_reset(layout);
    if (!residue_make(model, &residue)) {
        layout->no_memory = true;
        return;
    }
    size_t pieces = residue.pieces <= CONSTRUCT_FIT_MOST ? (size_t)residue.pieces : 0;
    struct layout_part *parts = malloc((pieces + 1) * sizeof *parts);
    struct fitting fitting = {.model = model,
                              .bars = malloc((pieces + 1) * sizeof *fitting.bars),
                              .placed = malloc((pieces + 1) * sizeof *fitting.placed),
                              .supply = residue.supply};
    layout->unmet = residue.pieces;
    layout->no_memory = parts == NULL || fitting.bars == NULL || fitting.placed == NULL;
    for (size_t i = 0; pieces > 0 && !layout->no_memory && i < model->type_count; i++)
        for (int64_t n = 0; n < model->types[i].demand; n++) {
            struct open_bar *bar = where_it_fits(&fitting, (int32_t)i);
            if (bar == NULL)
                break;
            fitting.placed[fitting.placed_count] = (struct placed){(int32_t)i, bar->first};
            bar->first = fitting.placed_count++;
            bar->fill += model->types[i].width;
            layout->unmet--;
        }
    if (!layout->no_memory) {
        put_down(&fitting, parts, layout);
        layout_settle(model, layout);
    }
    free(parts);
    free(fitting.bars);
    free(fitting.placed);
    residue_free(&residue);
}
