/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/model.h"

#include <stdlib.h>
#include <string.h>

bool model_more_urgent(const struct cutting_piece *left, const struct cutting_piece *right) {
    if (left->priority != right->priority)
        return left->priority > right->priority;
    if (left->due[0] == '\0' || right->due[0] == '\0')
        return left->due[0] != '\0' && right->due[0] == '\0';
    return strcmp(left->due, right->due) < 0;
}

static int32_t batch_of_piece(const struct model *model, size_t line) {
    return model->wish->piece_batch ? model->wish->piece_batch[line] : -1;
}

static int32_t batch_of_bar(const struct model *model, size_t line) {
    return model->wish->piece_batch ? model->wish->bar_batch[line] : 0;
}

static int by_length_and_urgency(const void *left, const void *right, void *data) {
    const struct model *model = data;
    const struct cutting_problem *problem = model->problem;
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    const struct cutting_piece *one = &problem->pieces[a], *other = &problem->pieces[b];
    if (one->length != other->length)
        return one->length > other->length ? -1 : 1;
    if (batch_of_piece(model, a) != batch_of_piece(model, b))
        return batch_of_piece(model, a) < batch_of_piece(model, b) ? -1 : 1;
    if (model_more_urgent(one, other) || model_more_urgent(other, one))
        return model_more_urgent(one, other) ? -1 : 1;
    return a < b ? -1 : a > b;
}

/* Bars that are alike for the cost stand together: capacity, then what remains, then value; the oldest first.
 */
static int bars_compare(const struct model *model, size_t left, size_t right) {
    const struct cutting_problem *problem = model->problem;
    const struct cutting_bar *one = &problem->bars[left], *other = &problem->bars[right];
    ell_length a = kerf_capacity(&problem->saw, one->length, one->squared);
    ell_length b = kerf_capacity(&problem->saw, other->length, other->squared);
    if (a != b)
        return a > b ? -1 : 1;
    if (one->value != other->value)
        return one->value < other->value ? -1 : 1;
    bool one_limited = one->quantity != CUTTING_UNLIMITED,
         other_limited = other->quantity != CUTTING_UNLIMITED;
    if (one_limited != other_limited)
        return one_limited ? -1 : 1;
    int32_t one_batch = batch_of_bar(model, left), other_batch = batch_of_bar(model, right);
    return (one_batch > other_batch) - (one_batch < other_batch);
}

static int by_kind_and_age(const void *left, const void *right, void *data) {
    const struct model *model = data;
    const struct cutting_problem *problem = model->problem;
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    int order = bars_compare(model, a, b);
    if (order != 0)
        return order;
    if (problem->bars[a].age != problem->bars[b].age)
        return problem->bars[a].age > problem->bars[b].age ? -1 : 1;
    return a < b ? -1 : a > b;
}

static bool bar_fits(const struct cutting_problem *problem, const struct cutting_bar *bar) {
    return bar->length <= problem->saw.longest_bar &&
           kerf_capacity(&problem->saw, bar->length, bar->squared) > problem->saw.kerf;
}

ell_length model_longest_piece(const struct cutting_problem *problem) {
    ell_length longest = 0;
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        if (!bar_fits(problem, bar))
            continue;
        ell_length piece = kerf_capacity(&problem->saw, bar->length, bar->squared) - problem->saw.kerf;
        if (piece > longest)
            longest = piece;
    }
    return longest;
}

static void gather_types(struct model *model, size_t line_count) {
    const int64_t *demand = model->wish->demand;
    const struct cutting_problem *problem = model->problem;
    for (size_t i = 0; i < line_count; i++) {
        size_t line = model->lines[i];
        int64_t width = problem->pieces[line].length + problem->saw.kerf;
        int32_t batch = batch_of_piece(model, line);
        const struct model_type *last = model->type_count > 0 ? &model->types[model->type_count - 1] : NULL;
        if (last == NULL || last->width != width || last->batch != batch)
            /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): model_make has checked it. */
            model->types[model->type_count++] =
                (struct model_type){.width = width, .batch = batch, .first_line = i};
        struct model_type *type = &model->types[model->type_count - 1];
        model->wanted[i] = demand ? demand[line] : problem->pieces[line].quantity;
        type->demand += model->wanted[i];
        type->line_count++;
    }
}

static void gather_stocks(struct model *model, size_t bar_count) {
    const struct cutting_problem *problem = model->problem;
    for (size_t i = 0; i < bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[model->bars[i]];
        bool fresh = i == 0 || bars_compare(model, model->bars[i - 1], model->bars[i]) != 0;
        if (fresh)
            model->stocks[model->stock_count++] = (struct model_stock){
                .capacity = kerf_capacity(&problem->saw, bar->length, bar->squared),
                .rest = kerf_usable(&problem->saw, bar->length, bar->squared),
                .cost = bar->value,
                .batch = batch_of_bar(model, model->bars[i]),
                .first_bar = i,
            };
        struct model_stock *stock = &model->stocks[model->stock_count - 1];
        stock->bar_count++;
        if (bar->quantity == CUTTING_UNLIMITED || model->wish->buying)
            stock->supply = CUTTING_UNLIMITED;
        else if (stock->supply != CUTTING_UNLIMITED)
            stock->supply += bar->quantity;
    }
}

bool model_make(const struct cutting_problem *problem, const struct model_wish *wish, struct model *model,
                struct fault *fault) {
    *model = (struct model){.problem = problem, .wish = wish, .rate = cutting_worth_rate(problem)};
    model->types = calloc(problem->piece_count + 1, sizeof *model->types);
    model->stocks = calloc(problem->bar_count + 1, sizeof *model->stocks);
    model->lines = calloc(problem->piece_count + 1, sizeof *model->lines);
    model->wanted = calloc(problem->piece_count + 1, sizeof *model->wanted);
    model->bars = calloc(problem->bar_count + 1, sizeof *model->bars);
    if (model->types == NULL || model->stocks == NULL || model->lines == NULL || model->wanted == NULL ||
        model->bars == NULL) {
        model_free(model);
        return fault_memory(fault);
    }
    ell_length longest = model_longest_piece(problem);
    size_t line_count = 0, bar_count = 0;
    for (size_t i = 0; i < problem->piece_count; i++) {
        ell_length length = problem->pieces[i].length;
        if (length <= longest && length >= problem->saw.shortest_piece &&
            (wish->demand == NULL || wish->demand[i] > 0))
            model->lines[line_count++] = i;
    }
    for (size_t i = 0; i < problem->bar_count; i++)
        if (bar_fits(problem, &problem->bars[i]) &&
            (wish->buying ? problem->bars[i].purchasable : problem->bars[i].quantity != 0))
            model->bars[bar_count++] = i;
    qsort_r(model->lines, line_count, sizeof *model->lines, by_length_and_urgency, model);
    qsort_r(model->bars, bar_count, sizeof *model->bars, by_kind_and_age, model);
    gather_types(model, line_count);
    gather_stocks(model, bar_count);
    model->wish = NULL;
    return true;
}

void model_free(struct model *model) {
    free(model->types);
    free(model->stocks);
    free(model->lines);
    free(model->wanted);
    free(model->bars);
    *model = (struct model){0};
}
