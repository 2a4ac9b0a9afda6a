/* The safe bound: prices as integers, one exact knapsack per class. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/relax.h"

#include <math.h>
#include <stdlib.h>

enum { STEPS = 400000, ROUNDS = 4 };

/* Values of one pattern stay below 2^49, so that every sum of two in a double is exact. */
#define VALUE_MOST 0x1p49

static double pieces_alone(const struct proof *proof) {
    double sum = 0;
    for (size_t i = 0; i < proof->found.part_count; i++)
        sum += proof->prices[proof->found.parts[i].type] * proof->found.parts[i].count;
    return sum;
}

/* The most that one bar of the class is worth beyond what it costs, as the certificate defines it; at least
 * `floor`. */
static double excess(struct proof *proof, int32_t stock, double floor, double *share) {
    double cost = proof->scale * (double)proof->engine->model->stocks[stock].cost, most = floor;
    for (int back = 0; back <= pricer_goes_back(proof->pricer, stock); back++) {
        double toll = cost + (back ? (double)proof->place : 0);
        if (pricer_most(proof->pricer, stock, back) - toll <= most)
            continue;
        pricer_best(proof->pricer, stock, back, toll + most, STEPS, &proof->found);
        double value = proof->found.exact ? proof->found.value : pricer_most(proof->pricer, stock, back);
        if (value - toll <= most)
            continue;
        most = value - toll;
        /* The pieces' prices alone would have to shrink to this share for the bar to pay. */
        double pieces = proof->found.exact ? pieces_alone(proof) : value;
        *share = (pieces - most) / pieces;
    }
    return most;
}

/* Rounds the prices down to integers at `shrink` times their worth. */
static void set_prices(struct proof *proof, const double *prices, double shrink) {
    for (size_t i = 0; i < proof->scope->type_count; i++)
        proof->prices[i] = prices[i] > 0 ? floor(prices[i] * proof->scale * shrink) : 0;
    pricer_set(proof->pricer, proof->prices, proof->scale, true);
}

/* Shrinks until no bar of unlimited number is worth more than it costs. */
static bool settle(struct proof *proof, const double *prices) {
    const struct model *model = proof->engine->model;
    double shrink = 1;
    for (int round = 0; round < ROUNDS && !proof->engine->watch->ended; round++) {
        set_prices(proof, prices, shrink);
        double least = 1;
        for (size_t i = 0; i < model->stock_count; i++) {
            double share = 1;
            if (proof->scope->most[i] == INT64_MAX && excess(proof, (int32_t)i, 0, &share) > 0 &&
                share < least)
                least = share;
        }
        if (least >= 1)
            return true;
        if (!(least > 0))
            return false;
        shrink *= least * (1 - 1e-13);
    }
    return false;
}

static __int128 times(double value, int64_t count) {
    return (__int128)value * count;
}

static int64_t divide_up(__int128 sum, int64_t by) {
    __int128 quotient = sum / by;
    if (quotient * by < sum)
        quotient++;
    return (int64_t)quotient;
}

/* Whatever alternative is taken, it is worth at least what the least one is. */
static __int128 cheapest(const struct proof *proof, const struct join_choice *choice) {
    double least = 0;
    for (size_t a = 0; a < choice->count; a++) {
        double sum = 0;
        for (size_t p = 0; p < choice->pieces; p++)
            sum += proof->prices[join_types(choice, a)[p]];
        if (a == 0 || sum < least)
            least = sum;
    }
    return (__int128)least;
}

static int64_t add_up(struct proof *proof) {
    const struct model *model = proof->engine->model;
    const struct joins *joins = proof->scope->joins;
    __int128 sum = 0;
    for (size_t i = 0; i < proof->scope->type_count; i++)
        sum += times(proof->prices[i], joins ? joins->base[i] : proof->scope->demand[i]);
    for (size_t g = 0; joins != NULL && g < joins->count; g++)
        sum += cheapest(proof, &joins->choices[g]);
    if (proof->scope->places != INT64_MAX)
        sum -= (__int128)proof->place * proof->scope->places;
    for (size_t i = 0; i < model->stock_count; i++) {
        double share;
        int64_t least = proof->scope->least[i], most = proof->scope->most[i];
        if (most == 0 || (most == INT64_MAX && least == 0))
            continue;
        if (proof->engine->watch->ended)
            return INT64_MIN;
        double over = excess(proof, (int32_t)i, least > 0 ? -1e300 : 0, &share);
        if (over > 0 && most != INT64_MAX)
            sum -= times(over, most);
        else if (over < 0 && over > -1e299)
            sum += times(-over, least);
        proof->excess[i] = over > 0 ? over : 0;
    }
    proof->sum = sum;
    int64_t bound = divide_up(sum, (int64_t)proof->scale);
    int64_t step = proof->engine->step;
    return bound <= 0 ? -(-bound / step) * step : (bound + step - 1) / step * step;
}

/* Distinct lengths with their prices, for the first node only: there the scope's types are the model's. */
static void certify(const struct proof *proof, struct cutting_certificate *certificate) {
    size_t count = proof->scope->type_count;
    ell_length *lengths = malloc((count + 1) * sizeof *lengths);
    int64_t *prices = malloc((count + 1) * sizeof *prices);
    if (lengths == NULL || prices == NULL) {
        free(lengths);
        free(prices);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        lengths[i] = proof->scope->width[i] - proof->engine->model->problem->saw.kerf;
        prices[i] = (int64_t)proof->prices[i];
    }
    free(certificate->lengths);
    free(certificate->prices);
    int64_t waste = proof->pricer->waste >= proof->pricer->capacity ? -1 : proof->pricer->waste;
    *certificate =
        (struct cutting_certificate){(int64_t)proof->scale, proof->place, waste, count, lengths, prices};
}

/* A power of two, so that a price times the scale loses nothing but its last bits. */
static double choose_scale(const struct model *model, const double *prices, size_t count) {
    double most = 1;
    for (size_t i = 0; i < model->stock_count; i++) {
        double worth = (double)model->stocks[i].cost +
                       (double)cutting_worth(&model->problem->remainder, model->rate, model->stocks[i].rest);
        if (worth > most)
            most = worth;
    }
    for (size_t i = 0; i < count; i++)
        if (prices[i] > most)
            most = prices[i];
    double scale = 1;
    while (scale * 2 * most < VALUE_MOST && scale < 0x1p40)
        scale *= 2;
    return scale;
}

bool proof_make(struct engine *engine, const struct scope *scope, struct pricer *pricer, const double *prices,
                double place_price, struct proof *proof, int64_t *bound) {
    *proof = (struct proof){.engine = engine, .scope = scope, .pricer = pricer};
    *bound = INT64_MIN;
    proof->prices = malloc((scope->type_count + 1) * sizeof *proof->prices);
    proof->found.parts = malloc((scope->type_count + 1) * sizeof *proof->found.parts);
    proof->excess = calloc(engine->model->stock_count + 1, sizeof *proof->excess);
    if (proof->prices == NULL || proof->found.parts == NULL || proof->excess == NULL)
        return false;
    proof->scale = choose_scale(engine->model, prices, scope->type_count);
    proof->place = scope->places != INT64_MAX && place_price > 0 ? (int64_t)(place_price * proof->scale) : 0;
    if (settle(proof, prices))
        *bound = add_up(proof);
    return true;
}

void proof_free(struct proof *proof) {
    free(proof->prices);
    free(proof->found.parts);
    free(proof->excess);
}

int64_t safe_bound(struct engine *engine, const struct scope *scope, struct pricer *pricer,
                   const double *prices, double place_price, struct cutting_certificate *certificate) {
    struct proof proof;
    int64_t bound;
    if (!proof_make(engine, scope, pricer, prices, place_price, &proof, &bound))
        engine->no_memory = true;
    else if (certificate != NULL && bound != INT64_MIN)
        certify(&proof, certificate);
    proof_free(&proof);
    return bound;
}
