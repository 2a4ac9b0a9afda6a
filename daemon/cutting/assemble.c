/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/assemble.h"

#include <stdlib.h>

/* Where each type and class stands in its queue of lines, and how many that line has left. */
struct queue {
    size_t at;
    int64_t left;
};

struct assembly {
    const struct model *model;
    struct cutting_plan *plan;
    struct queue *lines, *bars;
    size_t run_room, piece_room;
};

static int64_t bar_quantity(const struct model *model, size_t at) {
    int64_t quantity = model->problem->bars[model->bars[at]].quantity;
    return quantity == CUTTING_UNLIMITED ? INT64_MAX : quantity;
}

static bool make_room(struct assembly *work, size_t pieces) {
    struct cutting_plan *plan = work->plan;
    if (plan->run_count == work->run_room) {
        size_t room = work->run_room * 2 + 16;
        struct cutting_run *more = realloc(plan->runs, room * sizeof *more);
        if (more == NULL)
            return false;
        plan->runs = more;
        work->run_room = room;
    }
    if (plan->piece_count + pieces > work->piece_room) {
        size_t room = (plan->piece_count + pieces) * 2 + 64;
        uint32_t *more = realloc(plan->pieces, room * sizeof *more);
        if (more == NULL)
            return false;
        plan->pieces = more;
        work->piece_room = room;
    }
    return true;
}

/* How many bars in a row get the very same names: until a queue has to move on. */
static int64_t alike(const struct assembly *work, const struct layout *layout, const struct layout_bar *bar,
                     int64_t most) {
    const struct queue *stock = &work->bars[bar->stock];
    if (stock->left < most)
        most = stock->left;
    for (size_t i = 0; i < bar->parts; i++) {
        const struct layout_part *part = &layout->parts[bar->first + i];
        int64_t times = work->lines[part->type].left / part->count;
        if (times < 1)
            return 1;
        if (times < most)
            most = times;
    }
    return most;
}

/* Takes `times` for each of the part's pieces off the queue; when a line runs out in between, times is 1. */
static void take_pieces(struct assembly *work, const struct layout_part *part, int64_t times) {
    struct queue *queue = &work->lines[part->type];
    const struct model_type *type = &work->model->types[part->type];
    for (int32_t n = 0; n < part->count; n++) {
        work->plan->pieces[work->plan->piece_count++] = (uint32_t)work->model->lines[queue->at];
        queue->left -= times;
        if (queue->left == 0 && queue->at + 1 < type->first_line + type->line_count)
            queue->left = work->model->wanted[++queue->at];
    }
}

static bool add_run(struct assembly *work, const struct layout *layout, const struct layout_bar *bar,
                    int64_t times) {
    const struct model *model = work->model;
    const struct model_stock *stock = &model->stocks[bar->stock];
    size_t pieces = 0;
    for (size_t i = 0; i < bar->parts; i++)
        pieces += (size_t)layout->parts[bar->first + i].count;
    if (!make_room(work, pieces))
        return false;
    struct queue *queue = &work->bars[bar->stock];
    size_t line = model->bars[queue->at];
    struct cutting_plan *plan = work->plan;
    const struct cutting_bar *given = &model->problem->bars[line];
    ell_length sum = bar->fill - (ell_length)pieces * model->problem->saw.kerf;
    plan->runs[plan->run_count++] = (struct cutting_run){
        .bar = line,
        .count = times,
        .first = plan->piece_count,
        .piece_count = pieces,
        .account = kerf_settle(&model->problem->saw, given->length, given->squared, sum, (int64_t)pieces),
        .returns = bar->returns,
    };
    for (size_t i = 0; i < bar->parts; i++)
        take_pieces(work, &layout->parts[bar->first + i], times);
    if (queue->left != INT64_MAX)
        queue->left -= times;
    if (queue->left == 0 && queue->at + 1 < stock->first_bar + stock->bar_count)
        queue->left = bar_quantity(model, ++queue->at);
    return true;
}

static bool assemble_all(struct assembly *work, const struct layout *layout) {
    const struct model *model = work->model;
    for (size_t i = 0; i < model->type_count; i++) {
        size_t at = model->types[i].first_line;
        work->lines[i] = (struct queue){at, model->wanted[at]};
    }
    for (size_t i = 0; i < model->stock_count; i++) {
        size_t at = model->stocks[i].first_bar;
        work->bars[i] = (struct queue){at, bar_quantity(model, at)};
    }
    for (size_t i = 0; i < layout->bar_count; i++) {
        const struct layout_bar *bar = &layout->bars[i];
        for (int64_t left = bar->times; left > 0;) {
            int64_t times = alike(work, layout, bar, left);
            if (!add_run(work, layout, bar, times))
                return false;
            left -= times;
        }
    }
    return true;
}

bool assemble_plan(const struct model *model, const struct layout *layout, struct cutting_plan *plan,
                   struct fault *fault) {
    struct assembly work = {.model = model,
                            .plan = plan,
                            .lines = calloc(model->type_count + 1, sizeof *work.lines),
                            .bars = calloc(model->stock_count + 1, sizeof *work.bars)};
    bool fine = work.lines != NULL && work.bars != NULL && assemble_all(&work, layout);
    free(work.lines);
    free(work.bars);
    plan->cost = layout->cost;
    return fine || fault_memory(fault);
}
