/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/simplex_basis.h"

#include <math.h>
#include <string.h>

#define PIVOT_LEAST 1e-8
#define NOTHING 1e-14 /* an entry of the inverse that should be none */
#define NORM_LEAST 1e-6

double simplex_reduced(const struct simplex *simplex, size_t variable) {
    const struct columns *columns = simplex->columns;
    if (variable >= columns->count)
        return -simplex->price[variable - columns->count];
    double sum = simplex->cost[variable];
    for (uint32_t i = columns->list[variable].first; i < columns->list[variable].end; i++)
        sum -= simplex->price[columns->rows[i]];
    return sum;
}

void simplex_move(struct simplex *simplex, size_t variable, double step) {
    const struct columns *columns = simplex->columns;
    simplex->numbers[1] = 1;
    if (variable >= columns->count) {
        simplex->moved[variable - columns->count] += step;
        return;
    }
    for (uint32_t i = columns->list[variable].first; i < columns->list[variable].end; i++)
        simplex->moved[columns->rows[i]] += step;
}

void simplex_settle(struct simplex *simplex) {
    size_t rows = simplex->rows;
    if (simplex->numbers[1] == 0)
        return;
    for (size_t i = 0; i < rows; i++) {
        const double *inverse = simplex->inverse + i * rows;
        double sum = 0;
        for (size_t k = 0; k < rows; k++)
            sum += inverse[k] * simplex->moved[k];
        simplex->basic[i] -= sum;
    }
    memset(simplex->moved, 0, rows * sizeof *simplex->moved);
    simplex->numbers[1] = 0;
}

void simplex_transform(struct simplex *simplex, size_t variable) {
    const struct columns *columns = simplex->columns;
    size_t rows = simplex->rows;
    if (variable >= columns->count) {
        for (size_t i = 0; i < rows; i++)
            simplex->column[i] = simplex->inverse[i * rows + variable - columns->count];
        return;
    }
    const uint16_t *first = columns->rows + columns->list[variable].first,
                   *end = columns->rows + columns->list[variable].end;
    for (size_t i = 0; i < rows; i++) {
        const double *inverse = simplex->inverse + i * rows;
        double sum = 0;
        for (const uint16_t *at = first; at < end; at++)
            sum += inverse[*at];
        simplex->column[i] = sum;
    }
}

void simplex_exchange(struct simplex *simplex, size_t row) {
    size_t rows = simplex->rows, entries = 0;
    double *pivot_row = simplex->inverse + row * rows, by = 1 / simplex->column[row], sum = 0;
    int32_t *entry = simplex->entry; /* where the row is not nothing */
    for (size_t k = 0; k < rows; k++) {
        if (pivot_row[k] == 0)
            continue;
        pivot_row[k] *= by;
        sum += pivot_row[k] * pivot_row[k];
        entry[entries++] = (int32_t)k;
    }
    simplex->norm[row] = sum;
    for (size_t i = 0; i < rows; i++) {
        double factor = simplex->column[i];
        if (i == row || fabs(factor) < NOTHING)
            continue;
        double *inverse = simplex->inverse + i * rows, more = 0;
        for (size_t n = 0; n < entries; n++) {
            double before = inverse[entry[n]], now = before - factor * pivot_row[entry[n]];
            now = fabs(now) < NOTHING ? 0 : now;
            more += (now - before) * (now + before);
            inverse[entry[n]] = now;
        }
        simplex->norm[i] = fmax(simplex->norm[i] + more, NORM_LEAST);
    }
}

/* From the unit matrix, one column of the basis after the other takes the free row where it is largest. */
static bool invert(struct simplex *simplex) {
    size_t rows = simplex->rows, columns = simplex->columns->count;
    int32_t *basis = simplex->passed, *free_row = basis + rows;
    memcpy(basis, simplex->basis, rows * sizeof *basis);
    memset(simplex->inverse, 0, rows * rows * sizeof *simplex->inverse);
    for (size_t i = 0; i < rows; i++) {
        simplex->inverse[i * rows + i] = simplex->norm[i] = 1;
        free_row[i] = 1;
    }
    for (size_t i = 0; i < rows; i++)
        if (basis[i] >= (int32_t)columns) {
            size_t row = (size_t)basis[i] - columns;
            free_row[row] = 0;
            simplex->basis[row] = basis[i];
        }
    for (size_t i = 0; i < rows; i++) {
        if (basis[i] >= (int32_t)columns)
            continue;
        simplex_transform(simplex, (size_t)basis[i]);
        size_t best = rows;
        for (size_t k = 0; k < rows; k++)
            if (free_row[k] && (best == rows || fabs(simplex->column[k]) > fabs(simplex->column[best])))
                best = k;
        if (best == rows || fabs(simplex->column[best]) < PIVOT_LEAST)
            return false;
        simplex_exchange(simplex, best);
        simplex->basis[best] = basis[i];
        free_row[best] = 0;
    }
    for (size_t i = 0; i < rows; i++)
        simplex->place[simplex->basis[i]] = (int32_t)i;
    return true;
}

bool simplex_renew(struct simplex *simplex) {
    size_t rows = simplex->rows, columns = simplex->columns->count;
    simplex->numbers[2] = 0;
    if (!invert(simplex))
        return false;
    memset(simplex->price, 0, rows * sizeof *simplex->price);
    memset(simplex->moved, 0, rows * sizeof *simplex->moved);
    memset(simplex->basic, 0, rows * sizeof *simplex->basic);
    for (size_t i = 0; i < rows; i++) {
        double cost = (size_t)simplex->basis[i] < columns ? simplex->cost[simplex->basis[i]] : 0;
        for (size_t k = 0; cost != 0 && k < rows; k++)
            simplex->price[k] += cost * simplex->inverse[i * rows + k];
    }
    for (int32_t n = 0; n < simplex->numbers[0]; n++) {
        int32_t j = simplex->active[n];
        simplex->reduced[j] = simplex_reduced(simplex, (size_t)j);
        if (fabs(simplex->reduced[j]) > simplex->scale * 1e-9)
            simplex->place[j] = simplex->reduced[j] < 0 ? -2 : -1;
    }
    double cost = 0;
    for (size_t j = 0; j < simplex->count; j++) {
        double value = simplex->place[j] >= 0 ? 0 : simplex_value(simplex, j);
        if (value == 0)
            continue;
        simplex_move(simplex, j, value);
        cost += j < columns ? simplex->cost[j] * value : 0;
    }
    simplex->numbers[1] = 1;
    simplex_settle(simplex);
    for (size_t i = 0; i < rows; i++)
        cost +=
            (size_t)simplex->basis[i] < columns ? simplex->cost[simplex->basis[i]] * simplex->basic[i] : 0;
    simplex->summary[0] = cost;
    return true;
}
