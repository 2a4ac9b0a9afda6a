/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/bound.h"

#include <stdlib.h>

/* A bar's net cost is at least `net` for every `width` of its capacity that is used, and at most `most` is
 * used. */
struct rate {
    int64_t net, width;
    __int128 most;
};

static int by_rate(const void *left, const void *right) {
    const struct rate *a = left, *b = right;
    __int128 one = (__int128)a->net * b->width, other = (__int128)b->net * a->width;
    return one < other ? -1 : one > other;
}

static void lower(struct rate *rate, int64_t net, int64_t width) {
    if (width > 0 && (__int128)net * rate->width < (__int128)rate->net * width) {
        rate->net = net;
        rate->width = width;
    }
}

/* The worth of a remainder is at most percent * r * rate, a straight line from `usable` on, so net cost per
 * width has its least value at an end: the bar full, the shortest remainder that goes back, or one narrowest
 * piece. One tenth is taken off where the worth was rounded down, so that the line stays below. */
static struct rate stock_rate(const struct model *model, const struct model_stock *stock, int64_t narrowest,
                              int64_t wanted) {
    const struct cutting_remainder *rule = &model->problem->remainder;
    struct rate rate = {stock->cost, stock->capacity, 0};
    int64_t fullest = stock->rest - rule->usable;
    if (fullest > stock->capacity)
        fullest = stock->capacity;
    if (fullest >= narrowest && rule->percent > 0) {
        lower(&rate, stock->cost - model_worth(model, stock, fullest) - 1, fullest);
        lower(&rate, stock->cost - model_worth(model, stock, narrowest) - 1, narrowest);
    }
    int64_t bars = stock->supply == CUTTING_UNLIMITED ? wanted : stock->supply;
    rate.most = (__int128)bars * stock->capacity;
    return rate;
}

static int64_t round_up(__int128 value, int64_t by) {
    __int128 quotient = value / by;
    return (int64_t)(quotient * by < value ? quotient + 1 : quotient);
}

int64_t bound_material(const struct model *model) {
    struct rate *rates = malloc((model->stock_count + 1) * sizeof *rates);
    if (rates == NULL || model->type_count == 0 || model->stock_count == 0) {
        free(rates);
        return rates == NULL ? INT64_MIN : 0;
    }
    __int128 width = 0;
    int64_t pieces = 0;
    for (size_t i = 0; i < model->type_count; i++) {
        width += (__int128)model->types[i].width * model->types[i].demand;
        pieces += model->types[i].demand;
    }
    for (size_t i = 0; i < model->stock_count; i++)
        rates[i] = stock_rate(model, &model->stocks[i], model->types[model->type_count - 1].width, pieces);
    qsort(rates, model->stock_count, sizeof *rates, by_rate);
    int64_t bound = 0;
    size_t terms = 0;
    for (size_t i = 0; width > 0 && i < model->stock_count; i++) {
        __int128 used = width < rates[i].most ? width : rates[i].most;
        bound += round_up(used * rates[i].net, rates[i].width);
        terms += used > 0;
        width -= used;
    }
    free(rates);
    /* Each term was rounded up by less than one, the sum of what was added is less than `terms`. */
    return terms > 0 ? bound - (int64_t)(terms - 1) : 0;
}

int64_t bound_step(const struct model *model) {
    int64_t step = 0;
    const struct cutting_remainder *rule = &model->problem->remainder;
    if (rule->percent > 0 && rule->usable <= ELL_LENGTH_MAX && rule->places != 0)
        return 1;
    for (size_t i = 0; i < model->stock_count; i++) {
        int64_t other = model->stocks[i].cost;
        while (other != 0) {
            int64_t rest = step % other;
            step = other;
            other = rest;
        }
    }
    return step > 0 ? step : 1;
}

int64_t bound_round_up(int64_t bound, int64_t step) {
    if (bound <= 0)
        return -(-bound / step) * step;
    return (bound + step - 1) / step * step;
}
