/* The problem as the search sees it: piece types with demands, stock classes with supplies, one kind of
 * arithmetic.
 *
 * Equal lengths are one type, equal bars one class. A piece takes its width = length + kerf from a bar's
 * capacity (see kerf.h), so that feasibility is one sum of integers. Types stand longest first, classes by
 * capacity, largest first. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_MODEL_H
#define ELLWAND_CUTTING_MODEL_H

#include "cutting/problem.h"

struct model_type {
    int64_t width; /* length + kerf */
    int64_t demand;
    int32_t batch;                 /* the one that its pieces must come from; -1: any */
    size_t first_line, line_count; /* model->lines, most urgent first */
};

struct model_stock {
    int64_t capacity; /* for the sum of widths */
    int64_t rest;     /* remainder = max(0, rest - sum of widths) */
    int64_t supply;   /* or CUTTING_UNLIMITED */
    int64_t cost;
    int32_t batch;               /* 0 where batches do not matter */
    size_t first_bar, bar_count; /* model->bars, oldest first */
};

struct model {
    const struct cutting_problem *problem;
    const struct model_wish *wish; /* while it is made only */
    struct cutting_rate rate;
    size_t type_count, stock_count;
    struct model_type *types;
    struct model_stock *stocks;
    size_t *lines;   /* indices of the problem's pieces */
    int64_t *wanted; /* how many of each of those */
    size_t *bars;    /* indices of the problem's bars */
};

/* What a model is made for; all NULL and false: the problem as it stands, whatever the batches. */
struct model_wish {
    const int64_t *demand;      /* one number a line of pieces, instead of their quantities */
    const int32_t *piece_batch; /* one number a line of pieces: the batch it must come from, -1: any */
    const int32_t *bar_batch;   /* one number a line of bars, where piece_batch is given */
    bool buying;                /* instead of what there is, any number of each bar that may be bought */
};

/* Leaves out bars that do not fit the saw or hold nothing, and pieces that fit no bar or that the saw cannot hold. The
 * caller frees the model. */
bool model_make(const struct cutting_problem *problem, const struct model_wish *wish, struct model *model,
                struct fault *fault) MUST_CHECK;
void model_free(struct model *model);

/* The longest piece that any bar can give; 0 when there is none. */
ell_length model_longest_piece(const struct cutting_problem *problem);

/* Whether line `left` is to be cut before line `right` when stock is short. */
bool model_more_urgent(const struct cutting_piece *left, const struct cutting_piece *right);

/* Whether a piece of the type may come from a bar of the class. */
static inline bool model_allows(const struct model *model, int32_t type, int32_t stock) {
    return model->types[type].batch < 0 || model->types[type].batch == model->stocks[stock].batch;
}

/* Worth of what remains of `stock` when `fill` of its capacity is taken, if it goes back. */
static inline int64_t model_remainder(const struct model_stock *stock, int64_t fill) {
    return stock->rest > fill ? stock->rest - fill : 0;
}
static inline int64_t model_worth(const struct model *model, const struct model_stock *stock, int64_t fill) {
    return cutting_worth(&model->problem->remainder, model->rate, model_remainder(stock, fill));
}

#endif
