/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/shortage.h"

#include "cutting/search.h"

#include <stdlib.h>
#include <string.h>

/* Questions asked of the heuristics in all; then what does not fit at the first try is left out. */
enum { ASK_MOST = 400, ASK_PASSES = 12 };

struct asking {
    const struct cutting_problem *problem;
    struct watch *watch;
    struct model_wish wish;
    int64_t *now;
    int asked;
    bool no_memory;
};

static int by_urgency(const void *left, const void *right, void *data) {
    const struct cutting_problem *problem = data;
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    const struct cutting_piece *one = &problem->pieces[a], *other = &problem->pieces[b];
    if (model_more_urgent(one, other) || model_more_urgent(other, one))
        return model_more_urgent(one, other) ? -1 : 1;
    if (one->length != other->length)
        return one->length > other->length ? -1 : 1;
    return a < b ? -1 : a > b;
}

/* Whether heuristics place all of `now`. */
static bool places_all(struct asking *asking) {
    struct model model;
    struct layout layout = {0};
    struct fault fault;
    if (asking->asked++ >= ASK_MOST || watch_over(asking->watch, 1))
        return false;
    if (!model_make(asking->problem, &asking->wish, &model, &fault)) {
        asking->no_memory = true;
        return false;
    }
    bool fine = search_quick(&model, ASK_PASSES, asking->watch, &layout);
    asking->no_memory = !fine || asking->no_memory;
    bool all = fine && layout.unmet == 0;
    layout_free(&layout);
    model_free(&model);
    return all;
}

/* The most urgent lines that all fit together, found by halving. */
static size_t longest_prefix(struct asking *asking, const size_t *order, size_t count,
                             const int64_t *wanted) {
    size_t fits = 0, fails = count;
    while (fits + 1 < fails) {
        size_t middle = fits + (fails - fits) / 2;
        for (size_t i = 0; i < count; i++)
            asking->now[order[i]] = i < middle ? wanted[order[i]] : 0;
        if (places_all(asking))
            fits = middle;
        else
            fails = middle;
    }
    for (size_t i = 0; i < count; i++)
        asking->now[order[i]] = i < fits ? wanted[order[i]] : 0;
    return fits;
}

/* As many of one line as still fit. */
static void add_line(struct asking *asking, size_t line, int64_t wanted) {
    int64_t fits = 0, fails = wanted + 1, next = wanted;
    while (fits + 1 < fails && asking->asked < ASK_MOST) {
        asking->now[line] = next;
        if (places_all(asking))
            fits = next;
        else
            fails = next;
        next = fits + (fails - fits) / 2;
    }
    asking->now[line] = fits;
}

bool shortage_choose(const struct cutting_problem *problem, const struct model_wish *wish, int64_t *wanted,
                     struct watch *watch, struct fault *fault) {
    struct asking asking = {.problem = problem, .watch = watch, .wish = *wish};
    size_t count = 0;
    size_t *order = malloc((problem->piece_count + 1) * sizeof *order);
    asking.now = calloc(problem->piece_count + 1, sizeof *asking.now);
    if (order == NULL || asking.now == NULL) {
        free(order);
        free(asking.now);
        return fault_memory(fault);
    }
    asking.wish.demand = asking.now;
    for (size_t i = 0; i < problem->piece_count; i++)
        if (wanted[i] > 0)
            order[count++] = i;
    qsort_r(order, count, sizeof *order, by_urgency, (void *)problem);
    size_t fits = longest_prefix(&asking, order, count, wanted);
    for (size_t i = fits; i < count && asking.asked < ASK_MOST && !asking.no_memory; i++)
        add_line(&asking, order[i], wanted[order[i]]);
    memcpy(wanted, asking.now, problem->piece_count * sizeof *wanted);
    free(order);
    free(asking.now);
    return !asking.no_memory || fault_memory(fault);
}

static bool list_bars(const struct model *model, const struct layout *layout, struct cutting_plan *plan) {
    int64_t *counts = calloc(model->stock_count + 1, sizeof *counts);
    plan->buy = calloc(model->stock_count + 1, sizeof *plan->buy);
    if (counts == NULL || plan->buy == NULL) {
        free(counts);
        return false;
    }
    for (size_t i = 0; i < layout->bar_count; i++)
        counts[layout->bars[i].stock] += layout->bars[i].times;
    for (size_t i = 0; i < model->stock_count; i++)
        if (counts[i] > 0)
            plan->buy[plan->buy_count++] =
                (struct cutting_buy){model->bars[model->stocks[i].first_bar], counts[i]};
    free(counts);
    return true;
}

bool shortage_buy(const struct cutting_problem *problem, struct watch *watch, struct cutting_plan *plan,
                  struct fault *fault) {
    struct model model;
    struct layout layout = {0};
    int64_t *demand = calloc(problem->piece_count + 1, sizeof *demand);
    if (demand == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < plan->unmet_count; i++)
        if (plan->unmet[i].why == CUTTING_NO_STOCK)
            demand[plan->unmet[i].piece] = plan->unmet[i].quantity;
    if (!model_make(problem, &(struct model_wish){.demand = demand, .buying = true}, &model, fault)) {
        free(demand);
        return false;
    }
    bool fine = search_quick(&model, 50, watch, &layout) && list_bars(&model, &layout, plan);
    free(demand);
    layout_free(&layout);
    model_free(&model);
    return fine || fault_memory(fault);
}
