/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/small_lp.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of the ray: less than this share of its size does not count as a slope. */
#define STEEP 1e-9

/* Hands the columns over as lp.h wants them: a row once, with how often the column names it. */
static bool add_columns(struct small_lp *lp) {
    const struct columns *columns = lp->columns;
    size_t count = columns->count;
    int *start = malloc((count + 1) * sizeof *start), *row = malloc((columns->entries + 1) * sizeof *row);
    double *value = malloc((columns->entries + 1) * sizeof *value),
           *cost = malloc((count + 1) * sizeof *cost);
    bool fine = start != NULL && row != NULL && value != NULL && cost != NULL;
    int entries = 0;
    for (size_t j = 0; fine && j < count; j++) {
        const struct column *column = &columns->list[j];
        start[j] = entries;
        cost[j] = (double)column->cost;
        for (uint32_t i = column->first; i < column->end; i++) {
            bool again = i > column->first && columns->rows[i] == columns->rows[i - 1];
            if (again) {
                value[entries - 1]++;
                continue;
            }
            row[entries] = columns->rows[i];
            value[entries++] = 1;
        }
    }
    if (fine) {
        start[count] = entries;
        lp_add(lp->lp, &(struct lp_columns){count, cost, lp->most, start, row, value});
    }
    free(start);
    free(row);
    free(value);
    free(cost);
    return fine;
}

bool small_lp_make(const struct columns *columns, const int64_t *row_least, const int64_t *row_most,
                   struct small_lp *lp) {
    size_t rows = columns->row_count, count = columns->count + rows;
    *lp = (struct small_lp){.columns = columns, .rows = rows, .count = count, .scale = 1};
    lp->least = calloc(count + 1, sizeof *lp->least);
    lp->most = calloc(count + 1, sizeof *lp->most);
    lp->price = calloc(rows + 1, sizeof *lp->price);
    lp->ray = calloc(rows + 1, sizeof *lp->ray);
    lp->work = calloc(rows + 1, sizeof *lp->work);
    if (!lp->least || !lp->most || !lp->price || !lp->ray || !lp->work)
        return false;
    for (size_t j = 0; j < columns->count; j++) {
        lp->most[j] = (double)columns->list[j].most;
        lp->scale = fmax(lp->scale, fabs((double)columns->list[j].cost));
    }
    for (size_t i = 0; i < rows; i++) {
        lp->price[i] = (double)row_least[i];
        lp->ray[i] = (double)row_most[i];
        lp->least[columns->count + i] = -(double)row_most[i];
        lp->most[columns->count + i] = -(double)row_least[i];
    }
    lp->lp = lp_make(rows, lp->price, lp->ray);
    return lp->lp != NULL && add_columns(lp);
}

void small_lp_free(struct small_lp *lp) {
    lp_free(lp->lp);
    free(lp->least);
    free(lp->most);
    free(lp->price);
    free(lp->ray);
    free(lp->work);
    *lp = (struct small_lp){.lp = NULL};
}

bool small_lp_follow(struct small_lp *lp, const struct small_lp *from, const uint32_t *kept) {
    size_t columns = lp->columns->count, others = from->columns->count, basic = 0;
    unsigned char *states = malloc(lp->count + from->count + 1),
                  *theirs = states == NULL ? NULL : states + lp->count;
    if (states == NULL)
        return false;
    lp_save(from->lp, theirs);
    for (size_t j = 0; j < columns; j++)
        states[j] = theirs[kept[j]];
    memcpy(states + columns, theirs + others, lp->rows);
    for (size_t j = 0; j < lp->count; j++)
        basic += lp_saved_state(states[j]) == LP_BASIC;
    if (basic == lp->rows)
        lp_restore(lp->lp, states);
    free(states);
    return true;
}

void small_lp_limit(struct small_lp *lp, size_t variable, double least, double most) {
    lp->least[variable] = least;
    lp->most[variable] = most;
    if (variable < lp->columns->count)
        lp_set_limits(lp->lp, variable, least, most);
    else
        lp_set_row(lp->lp, variable - lp->columns->count, -most, -least);
}

/* What the bound gains for each time that the ray is added to the prices. */
static double ray_slope(const struct small_lp *lp) {
    const struct columns *columns = lp->columns;
    double slope = 0;
    for (size_t i = 0; i < lp->rows; i++)
        slope -= lp->ray[i] * (lp->ray[i] > 0 ? lp->most : lp->least)[columns->count + i];
    for (size_t j = 0; j < columns->count; j++) {
        double worth = 0;
        if (lp->most[j] == 0)
            continue;
        for (uint32_t i = columns->list[j].first; i < columns->list[j].end; i++)
            worth += lp->ray[columns->rows[i]];
        slope -= worth * (worth > 0 ? lp->most : lp->least)[j];
    }
    return slope;
}

/* The library leaves its sign open. False when it is no proof either way. */
static bool take_ray(struct small_lp *lp) {
    double size = 0;
    if (!lp_ray(lp->lp, lp->ray))
        return false;
    for (int turned = 0; turned < 2; turned++) {
        size = 0;
        for (size_t i = 0; i < lp->rows; i++) {
            lp->ray[i] = turned == 0 ? lp->ray[i] : -lp->ray[i];
            size += fabs(lp->ray[i]);
        }
        lp->slope = ray_slope(lp);
        if (lp->slope > STEEP * size)
            return true;
    }
    return false;
}

enum lp_end small_lp_solve(struct small_lp *lp, double cut, int pivots) {
    enum lp_end end = lp_solve_to(lp->lp, cut, pivots);
    lp->pivots += (size_t)lp_pivots(lp->lp);
    memcpy(lp->price, lp_prices(lp->lp), lp->rows * sizeof *lp->price);
    lp->cost = lp_cost(lp->lp);
    return end == LP_EMPTY && !take_ray(lp) ? LP_STOPPED : end;
}

double small_lp_value(const struct small_lp *lp, size_t variable) {
    size_t columns = lp->columns->count;
    return variable < columns ? lp_values(lp->lp)[variable] : -lp_sums(lp->lp)[variable - columns];
}

void small_lp_save(const struct small_lp *lp, unsigned char *block) {
    lp_save(lp->lp, block);
}

void small_lp_restore(struct small_lp *lp, const unsigned char *block) {
    lp_restore(lp->lp, block);
}
