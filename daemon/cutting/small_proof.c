/* Bounds in integers: any rounded prices give one. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/small_tree.h"

#include "cutting/bound.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A column's worth stays below 2^52, so that it fits an integer whatever is added to it. */
#define WORTH_MOST 0x1p46

static double choose_scale(const struct tree *tree, const double *prices, size_t rows) {
    double most = tree->lp.scale, scale = 1;
    for (size_t i = 0; i < rows; i++)
        most = fmax(most, fabs(prices[i]));
    while (scale * 2 * most < WORTH_MOST && scale < 0x1p30)
        scale *= 2;
    return scale * most < WORTH_MOST ? scale : 0;
}

static int64_t column_reduced(const struct tree *tree, size_t column) {
    const struct column *from = &tree->columns->list[column];
    int64_t reduced = (int64_t)tree->scale * from->cost;
    for (uint32_t i = from->first; i < from->end; i++)
        reduced -= tree->price[tree->columns->rows[i]];
    return reduced;
}

static int64_t round_up(const struct tree *tree, __int128 sum) {
    __int128 scale = (__int128)tree->scale, quotient = sum / scale;
    if (quotient * scale < sum)
        quotient++;
    if (quotient > INT64_MAX / 4 || quotient < INT64_MIN / 4)
        return quotient > 0 ? INT64_MAX / 4 : INT64_MIN;
    return bound_round_up((int64_t)quotient, tree->engine->step);
}

int64_t tree_prove(struct tree *tree, double times) {
    const struct small_lp *lp = &tree->lp;
    size_t rows = lp->rows, columns = tree->columns->count;
    double *prices = lp->work;
    for (size_t i = 0; i < rows; i++)
        prices[i] = lp->price[i] + (times != 0 ? times * lp->ray[i] : 0);
    tree->scale = choose_scale(tree, prices, rows);
    if (tree->scale == 0)
        return INT64_MIN;
    __int128 sum = 0;
    for (size_t i = 0; i < rows; i++) {
        int64_t price = llround(prices[i] * tree->scale);
        tree->price[i] = price;
        sum -= (__int128)price * (int64_t)(price > 0 ? lp->most[columns + i] : lp->least[columns + i]);
    }
    for (size_t j = 0; j < columns; j++) {
        if (lp->most[j] == 0)
            continue;
        int64_t reduced = column_reduced(tree, j);
        tree->reduced[j] = reduced;
        sum += (__int128)reduced * (int64_t)(reduced < 0 ? lp->most[j] : lp->least[j]);
    }
    tree->sum = sum;
    return round_up(tree, sum);
}

/* What the column may still be used for beyond its limit, by what is left between the sum and the target. */
static void rule_out(struct tree *tree, const int64_t *reduced, __int128 sum, double scale) {
    const struct small_lp *lp = &tree->lp;
    __int128 room = (__int128)(tree->target - tree->engine->step) * (int64_t)scale - sum;
    if (room < 0 || room > INT64_MAX)
        return;
    int64_t left = (int64_t)room;
    for (size_t j = 0; j < tree->columns->count; j++) {
        double least = lp->least[j], most = lp->most[j];
        if (least >= most)
            continue;
        if (reduced[j] > left && reduced[j] > 0)
            tree_limit(tree, j, least, least);
        else if (reduced[j] < -left && reduced[j] < 0)
            tree_limit(tree, j, most, most);
    }
}

void tree_rule_out(struct tree *tree) {
    if (!tree->rooted) {
        memcpy(tree->root_reduced, tree->reduced, tree->columns->count * sizeof *tree->root_reduced);
        tree->root_sum = tree->sum;
        tree->root_scale = tree->scale;
        tree->rooted = true;
        tree->narrowed = tree->target;
    }
    rule_out(tree, tree->reduced, tree->sum, tree->scale);
}

void tree_narrow(struct tree *tree) {
    if (!tree->rooted || tree->target >= tree->narrowed)
        return;
    rule_out(tree, tree->root_reduced, tree->root_sum, tree->root_scale);
    tree->narrowed = tree->target;
}

/* Rounded prices may make a bar of unlimited number worth a little more than it costs: its longest piece gives way. */
static void lower_prices(struct tree *tree) {
    for (size_t j = 0; j < tree->columns->count; j++) {
        const struct column *column = &tree->columns->list[j];
        int64_t reduced = column_reduced(tree, j);
        if (reduced >= 0 || tree->columns->model->stocks[column->stock].supply != CUTTING_UNLIMITED)
            continue;
        for (uint32_t i = column->first; reduced < 0 && i < column->end; i++) {
            uint16_t row = tree->columns->rows[i];
            if (row >= tree->columns->types)
                continue;
            int64_t by = -reduced < tree->price[row] ? -reduced : tree->price[row];
            tree->price[row] -= by;
            reduced += by;
        }
    }
}

/* What limited bars are worth beyond their cost, and places their price. */
static __int128 add_up(struct tree *tree) {
    const struct columns *columns = tree->columns;
    const struct model *model = columns->model;
    int64_t *excess = tree->reduced; /* as good as any scratch: there are more columns than classes */
    __int128 sum = 0;
    memset(excess, 0, model->stock_count * sizeof *excess);
    for (size_t j = 0; j < columns->count; j++) {
        int64_t over = -column_reduced(tree, j);
        if (over > excess[columns->list[j].stock])
            excess[columns->list[j].stock] = over;
    }
    for (size_t i = 0; i < columns->types; i++)
        sum += (__int128)tree->price[i] * model->types[i].demand;
    for (size_t i = 0; i < model->stock_count; i++) {
        if (model->stocks[i].supply != CUTTING_UNLIMITED)
            sum -= (__int128)excess[i] * model->stocks[i].supply;
        else if (excess[i] > 0)
            return INT64_MIN;
    }
    if (columns->place_row < columns->row_count)
        sum += (__int128)tree->price[columns->place_row] * model->problem->remainder.places;
    return sum;
}

static bool write_certificate(const struct tree *tree, struct cutting_certificate *certificate) {
    const struct columns *columns = tree->columns;
    const struct model *model = columns->model;
    ell_length *lengths = malloc((columns->types + 1) * sizeof *lengths);
    int64_t *prices = malloc((columns->types + 1) * sizeof *prices);
    if (lengths == NULL || prices == NULL) {
        free(lengths);
        free(prices);
        return false;
    }
    for (size_t i = 0; i < columns->types; i++) {
        lengths[i] = model->types[i].width - model->problem->saw.kerf;
        prices[i] = tree->price[i];
    }
    free(certificate->lengths);
    free(certificate->prices);
    bool places = columns->place_row < columns->row_count;
    *certificate = (struct cutting_certificate){(int64_t)tree->scale,
                                                places ? -tree->price[columns->place_row] : 0,
                                                -1,
                                                columns->types,
                                                lengths,
                                                prices};
    return true;
}

int64_t tree_certify(struct tree *tree, struct cutting_certificate *certificate) {
    const struct columns *columns = tree->columns;
    const double *prices = tree->lp.price;
    tree->scale = choose_scale(tree, prices, columns->row_count);
    if (tree->scale == 0)
        return INT64_MIN;
    for (size_t i = 0; i < columns->row_count; i++) {
        bool type = i < columns->types, place = i == columns->place_row && i < columns->row_count;
        double price = floor(prices[i] * tree->scale);
        tree->price[i] = type ? (price > 0 ? (int64_t)price : 0) : place && price < 0 ? (int64_t)price : 0;
    }
    lower_prices(tree);
    __int128 sum = add_up(tree);
    if (sum == INT64_MIN || !write_certificate(tree, certificate))
        return INT64_MIN;
    return round_up(tree, sum);
}
