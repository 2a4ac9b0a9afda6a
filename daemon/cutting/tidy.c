/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/tidy.h"

#include "cutting/construct.h"

#include <stdlib.h>
#include <string.h>

/* A pass costs about types times bars; no more of that than this is spent, and no more passes when so many in a row brought
 * nothing. */
enum { PASSES_MOST = 40, PATIENCE = 12, EFFORT_MOST = 4000, PIECES_MOST = 20000 };

static int by_pattern(const void *left, const void *right, void *data) {
    const struct layout *layout = data;
    const struct layout_bar *a = left, *b = right;
    if (a->stock != b->stock)
        return a->stock < b->stock ? -1 : 1;
    if (a->returns != b->returns)
        return a->returns ? -1 : 1;
    if (a->parts != b->parts)
        return a->parts < b->parts ? -1 : 1;
    for (size_t i = 0; i < a->parts; i++) {
        const struct layout_part *one = &layout->parts[a->first + i], *other = &layout->parts[b->first + i];
        if (one->type != other->type)
            return one->type < other->type ? -1 : 1;
        if (one->count != other->count)
            return one->count > other->count ? -1 : 1;
    }
    return 0;
}

static int by_type(const void *left, const void *right) {
    const struct layout_part *a = left, *b = right;
    return (a->type > b->type) - (a->type < b->type);
}

bool tidy_merge(struct layout *layout) {
    if (layout->bar_count == 0)
        return !layout->no_memory;
    for (size_t i = 0; i < layout->bar_count; i++)
        qsort(layout->parts + layout->bars[i].first, layout->bars[i].parts, sizeof *layout->parts, by_type);
    qsort_r(layout->bars, layout->bar_count, sizeof *layout->bars, by_pattern, layout);
    size_t kept = 0;
    for (size_t i = 0; i < layout->bar_count; i++) {
        if (kept > 0 && by_pattern(&layout->bars[kept - 1], &layout->bars[i], layout) == 0)
            layout->bars[kept - 1].times += layout->bars[i].times;
        else
            layout->bars[kept++] = layout->bars[i];
    }
    layout->bar_count = kept;
    return !layout->no_memory;
}

static int64_t returned(const struct layout *layout) {
    int64_t sum = 0;
    for (size_t i = 0; i < layout->bar_count; i++)
        sum += layout->bars[i].returns ? layout->bars[i].times : 0;
    return sum;
}

static struct cutting_effort effort_of(const struct layout *layout) {
    return (struct cutting_effort){.setups = (int64_t)layout->bar_count, .returned = returned(layout)};
}

static bool easier(const struct cutting_effort *one, const struct cutting_effort *other) {
    return one->returned != other->returned ? one->returned < other->returned : one->setups < other->setups;
}

/* On one bar there is room for so many different lengths at most; each set-up cuts no more. */
static int64_t least_setups(const struct model *model) {
    int64_t capacity = 0, room = 0;
    for (size_t i = 0; i < model->stock_count; i++)
        if (model->stocks[i].capacity > capacity)
            capacity = model->stocks[i].capacity;
    size_t kinds = 0, wanted = 0;
    for (size_t i = model->type_count; i-- > 0;) {
        wanted += model->types[i].demand > 0;
        room += model->types[i].width;
        kinds += room <= capacity;
    }
    return kinds > 0 ? (int64_t)((wanted + kinds - 1) / kinds) : 0;
}

struct tidying {
    struct layout *best;
    struct cutting_effort effort;
    struct cutting_plan *plan;
    int64_t dearest; /* bar */
    int idle;        /* passes since one brought something */
    bool no_memory;
};

static bool look_at(void *data, struct layout *layout) {
    struct tidying *tidying = data;
    tidying->idle++;
    if (layout->unmet > 0 || !tidy_merge(layout))
        return tidying->idle < PATIENCE;
    struct cutting_effort now = effort_of(layout);
    struct cutting_plan *plan = tidying->plan;
    if (layout->cost == tidying->best->cost && easier(&now, &tidying->effort)) {
        tidying->no_memory = tidying->no_memory || !layout_copy(tidying->best, layout);
        tidying->effort = now;
        tidying->idle = 0;
    }
    bool near = layout->cost > tidying->best->cost && layout->cost <= tidying->best->cost + tidying->dearest;
    if (near && (!plan->has_offer || now.setups < plan->offer_setups ||
                 (now.setups == plan->offer_setups && layout->cost < plan->offer_cost))) {
        plan->has_offer = true;
        plan->offer_cost = layout->cost;
        plan->offer_setups = now.setups;
        tidying->idle = now.setups < tidying->effort.setups ? 0 : tidying->idle;
    }
    return tidying->idle < PATIENCE;
}

bool tidy_layout(const struct model *model, struct watch *watch, struct layout *layout,
                 struct cutting_plan *plan) {
    if (!tidy_merge(layout))
        return false;
    struct tidying tidying = {.best = layout, .effort = effort_of(layout), .plan = plan};
    int64_t pieces = 0;
    for (size_t i = 0; i < model->type_count; i++)
        pieces += model->types[i].demand;
    for (size_t i = 0; i < model->stock_count; i++)
        if (model->stocks[i].cost > tidying.dearest)
            tidying.dearest = model->stocks[i].cost;
    plan->before = tidying.effort;
    plan->has_offer = false;
    plan->least.setups = least_setups(model);
    int64_t passes = EFFORT_MOST / (int64_t)(model->type_count * layout->bar_count + 1);
    passes = passes < PASSES_MOST ? passes : PASSES_MOST;
    bool fine = true;
    /* Where hardly a length is wanted twice, hardly a pattern can be cut twice. */
    bool repeats = pieces > (int64_t)(model->type_count + model->type_count / 4);
    if (repeats && pieces <= PIECES_MOST && plan->before.setups > plan->least.setups && !watch_over(watch, 0))
        fine = construct_passes(model, passes, watch, look_at, &tidying);
    plan->after = tidying.effort;
    plan->has_offer = plan->has_offer && plan->offer_setups < plan->after.setups;
    return fine && !tidying.no_memory;
}
