/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/tidy.h"

#include "cutting/blocks.h"
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

struct sawing {
    const struct model *model;
    const struct layout *layout;
};

/* How many of the next width the bar has, batches alike; moves *part behind them. */
static int64_t next_width(const struct sawing *sawing, const struct layout_bar *bar, size_t *part,
                          int64_t *width) {
    const struct layout_part *parts = sawing->layout->parts + bar->first;
    int64_t count = 0;
    *width = *part < bar->parts ? sawing->model->types[parts[*part].type].width : 0;
    while (*part < bar->parts && sawing->model->types[parts[*part].type].width == *width)
        count += parts[(*part)++].count;
    return count;
}

/* Equal for bars that need no other stops: whether a remainder goes back, or from which batch, is all the same to the saw. */
static int by_stops(const void *left, const void *right, void *data) {
    const struct sawing *sawing = data;
    const struct layout_bar *a = &sawing->layout->bars[*(const size_t *)left],
                            *b = &sawing->layout->bars[*(const size_t *)right];
    const struct model_stock *one = &sawing->model->stocks[a->stock],
                             *other = &sawing->model->stocks[b->stock];
    if (one->capacity != other->capacity || one->rest != other->rest)
        return one->capacity != other->capacity ? (one->capacity > other->capacity ? -1 : 1)
                                                : (one->rest > other->rest ? -1 : 1);
    for (size_t at = 0, its = 0; at < a->parts || its < b->parts;) {
        int64_t width, other_width;
        int64_t count = next_width(sawing, a, &at, &width),
                other_count = next_width(sawing, b, &its, &other_width);
        if (width != other_width)
            return width > other_width ? -1 : 1;
        if (count != other_count)
            return count > other_count ? -1 : 1;
    }
    return 0;
}

/* False for want of memory. */
static bool effort_of(const struct model *model, const struct layout *layout, struct cutting_effort *effort) {
    struct sawing sawing = {model, layout};
    size_t *order = malloc((layout->bar_count + 1) * sizeof *order);
    *effort = (struct cutting_effort){.returned = returned(layout)};
    if (order == NULL)
        return false;
    for (size_t i = 0; i < layout->bar_count; i++)
        order[i] = i;
    qsort_r(order, layout->bar_count, sizeof *order, by_stops, &sawing);
    for (size_t i = 0, next; i < layout->bar_count; i = next) {
        int64_t count = 0;
        for (next = i; next < layout->bar_count && by_stops(&order[i], &order[next], &sawing) == 0; next++)
            count += layout->bars[order[next]].times;
        effort->setups++;
        effort->loads += blocks_loads(model->problem, count);
    }
    free(order);
    return true;
}

static bool easier(const struct cutting_effort *one, const struct cutting_effort *other) {
    if (one->returned != other->returned)
        return one->returned < other->returned;
    return one->setups != other->setups ? one->setups < other->setups : one->loads < other->loads;
}

/* On one bar there is room for so many different lengths at most; each set-up cuts no more. And there are as many bars as
 * hold all the pieces. */
static struct cutting_effort least_effort(const struct model *model) {
    int64_t capacity = 0, room = 0;
    for (size_t i = 0; i < model->stock_count; i++)
        if (model->stocks[i].capacity > capacity)
            capacity = model->stocks[i].capacity;
    int64_t kinds = 0, wanted = 0;
    __int128 sum = 0;
    for (size_t i = model->type_count; i-- > 0;) {
        const struct model_type *type = &model->types[i];
        bool known = i + 1 < model->type_count && model->types[i + 1].width == type->width;
        sum += (__int128)type->width * type->demand;
        if (known || type->demand == 0)
            continue;
        wanted++;
        room += type->width;
        kinds += room <= capacity;
    }
    if (kinds == 0 || capacity == 0)
        return (struct cutting_effort){0};
    struct cutting_effort least = {.setups = (wanted + kinds - 1) / kinds};
    int64_t bars = (int64_t)((sum + capacity - 1) / capacity);
    least.loads = blocks_loads(model->problem, bars);
    least.loads = least.loads > least.setups ? least.loads : least.setups;
    return least;
}

struct tidying {
    const struct model *model;
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
    struct cutting_effort now;
    struct cutting_plan *plan = tidying->plan;
    if (!effort_of(tidying->model, layout, &now)) {
        tidying->no_memory = true;
        return false;
    }
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
    struct tidying tidying = {.model = model, .best = layout, .plan = plan};
    if (!effort_of(model, layout, &tidying.effort))
        return false;
    int64_t pieces = 0;
    for (size_t i = 0; i < model->type_count; i++)
        pieces += model->types[i].demand;
    for (size_t i = 0; i < model->stock_count; i++)
        if (model->stocks[i].cost > tidying.dearest)
            tidying.dearest = model->stocks[i].cost;
    plan->before = tidying.effort;
    plan->has_offer = false;
    plan->least = least_effort(model);
    int64_t passes = EFFORT_MOST / (int64_t)(model->type_count * layout->bar_count + 1);
    passes = passes < PASSES_MOST ? passes : PASSES_MOST;
    bool fine = true;
    /* Where hardly a length is wanted twice, hardly a pattern can be cut twice. */
    bool repeats = pieces > (int64_t)(model->type_count + model->type_count / 4);
    if (repeats && pieces <= PIECES_MOST && plan->before.loads > plan->least.loads && !watch_over(watch, 0))
        fine = construct_passes(model, passes, watch, look_at, &tidying);
    plan->after = tidying.effort;
    plan->has_offer = plan->has_offer && plan->offer_setups < plan->after.setups;
    return fine && !tidying.no_memory;
}
