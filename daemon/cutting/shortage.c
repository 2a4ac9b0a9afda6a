/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/shortage.h"

#include "cutting/search.h"
#include "cutting/shortage_ask.h"

#include <stdlib.h>
#include <string.h>

/* Questions asked of the heuristics in all, then what does not fit at the first try is left out; steps of search for one
 * question that they could not answer. */
enum { ASK_MOST = 400, ASK_PASSES = 12, ASK_WORK = 400000 };

struct asking {
    const struct cutting_problem *problem;
    struct watch *watch;
    struct model_wish wish;
    int64_t *now;
    struct shortage *shortage;
    struct cutting_unmet last; /* the proof of the last "no" */
    bool last_free;            /* it holds whatever the batches */
    int asked;
    struct fault *fault;
    bool failed;
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

static void forget(struct cutting_unmet *line) {
    free(line->certificate.lengths);
    free(line->certificate.prices);
    *line = (struct cutting_unmet){.follows = SIZE_MAX};
}

static bool heuristics_place_all(struct asking *asking) {
    struct model model;
    struct layout layout = {0};
    if (!model_make(asking->problem, &asking->wish, &model, asking->fault)) {
        asking->failed = true;
        return false;
    }
    bool fine = search_quick(&model, ASK_PASSES, asking->watch, &layout);
    if (!fine)
        asking->failed = !fault_memory(asking->fault);
    bool all = fine && layout.unmet == 0;
    layout_free(&layout);
    model_free(&model);
    return all;
}

static enum answer ask(struct asking *asking, bool matching) {
    enum answer answer = ANSWER_UNKNOWN;
    asking->last_free = !matching;
    if (!shortage_ask(asking->problem, asking->now, matching, ASK_WORK, asking->watch, &answer,
                      &asking->last.proof, &asking->last.certificate, asking->fault))
        asking->failed = true;
    return answer;
}

/* Whether all of `now` can be placed; what could not be answered counts as no, without a proof. What does not fit
 * whatever the batches needs no question about them. */
static bool places_all(struct asking *asking) {
    forget(&asking->last);
    if (asking->failed || asking->asked++ >= ASK_MOST || watch_over(asking->watch, 1))
        return false;
    if (heuristics_place_all(asking))
        return true;
    enum answer answer = asking->failed ? ANSWER_NO : ask(asking, false);
    bool matching = asking->wish.piece_batch != NULL;
    if (matching && answer != ANSWER_NO && !asking->failed)
        answer = ask(asking, true);
    return answer == ANSWER_YES && !asking->failed;
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

/* Where a shorter piece was proven not to fit beside fewer others, this one does not either: the line that says so, or
 * SIZE_MAX. */
static size_t known_not_to_fit(const struct asking *asking, size_t line) {
    const struct cutting_piece *pieces = asking->problem->pieces;
    for (size_t i = 0; i < asking->shortage->count; i++) {
        const struct cutting_unmet *known = &asking->shortage->lines[i];
        if (known->proof != CUTTING_PROOF_NONE && known->follows == SIZE_MAX && asking->shortage->free[i] &&
            pieces[known->piece].length <= pieces[line].length)
            return known->piece;
    }
    return SIZE_MAX;
}

static void note(struct asking *asking, size_t line, struct cutting_unmet *proof, bool whatever_batches) {
    proof->piece = line;
    asking->shortage->free[asking->shortage->count] = whatever_batches;
    asking->shortage->lines[asking->shortage->count++] = *proof;
    *proof = (struct cutting_unmet){.follows = SIZE_MAX};
}

/* As many of one line as still fit. */
static void add_line(struct asking *asking, size_t line, int64_t wanted) {
    int64_t fits = 0, fails = wanted + 1, next = wanted;
    bool whatever_batches = true;
    struct cutting_unmet proof = {.follows = known_not_to_fit(asking, line)};
    if (proof.follows != SIZE_MAX) {
        proof.proof = CUTTING_PROOF_SEARCH;
        note(asking, line, &proof, true);
        return;
    }
    while (fits + 1 < fails) {
        asking->now[line] = next;
        if (places_all(asking)) {
            fits = next;
        } else {
            fails = next;
            forget(&proof);
            proof = asking->last;
            whatever_batches = asking->last_free;
            asking->last = (struct cutting_unmet){.follows = SIZE_MAX};
        }
        next = fits + (fails - fits) / 2;
    }
    asking->now[line] = fits;
    if (fits < wanted)
        note(asking, line, &proof, whatever_batches);
    else
        forget(&proof);
}

bool shortage_choose(const struct cutting_problem *problem, const int32_t *batch_of, const int32_t *bar_batch,
                     int64_t *wanted, struct watch *watch, struct shortage *shortage, struct fault *fault) {
    struct asking asking = {.problem = problem,
                            .watch = watch,
                            .wish = {.piece_batch = batch_of, .bar_batch = bar_batch},
                            .shortage = shortage,
                            .last = {.follows = SIZE_MAX},
                            .fault = fault};
    size_t count = 0;
    size_t *order = malloc((problem->piece_count + 1) * sizeof *order);
    asking.now = calloc(problem->piece_count + 1, sizeof *asking.now);
    shortage->lines = calloc(problem->piece_count + 1, sizeof *shortage->lines);
    shortage->free = calloc(problem->piece_count + 1, sizeof *shortage->free);
    if (order == NULL || asking.now == NULL || shortage->lines == NULL || shortage->free == NULL) {
        free(order);
        free(asking.now);
        return fault_memory(fault);
    }
    asking.wish.demand = asking.now;
    for (size_t i = 0; i < problem->piece_count; i++)
        if (wanted[i] > 0)
            order[count++] = i;
    qsort_r(order, count, sizeof *order, by_urgency, (void *)problem);
    for (size_t i = longest_prefix(&asking, order, count, wanted); i < count && !asking.failed; i++)
        add_line(&asking, order[i], wanted[order[i]]);
    memcpy(wanted, asking.now, problem->piece_count * sizeof *wanted);
    forget(&asking.last);
    free(order);
    free(asking.now);
    return !asking.failed;
}

void shortage_free(struct shortage *shortage) {
    for (size_t i = 0; i < shortage->count; i++)
        forget(&shortage->lines[i]);
    free(shortage->lines);
    free(shortage->free);
    *shortage = (struct shortage){0};
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
