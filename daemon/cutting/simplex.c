/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/simplex_basis.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Parts of the block lie in this order, doubles first. */
static size_t lay_out(struct simplex *simplex) {
    size_t rows = simplex->rows, count = simplex->count;
    double *number = (double *)(void *)simplex->state;
    double **doubles[] = {&simplex->inverse, &simplex->norm,  &simplex->price,
                          &simplex->basic,   &simplex->least, &simplex->most,
                          &simplex->reduced, &simplex->moved, &simplex->summary};
    const size_t sizes[] = {rows * rows, rows, rows, rows, count, count, count, rows, 1};
    size_t bytes = 0;
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        *doubles[i] = number != NULL ? number : NULL;
        number = number != NULL ? number + sizes[i] : NULL;
        bytes += sizes[i] * sizeof(double);
    }
    int32_t *whole = (int32_t *)(void *)number;
    int32_t **wholes[] = {&simplex->basis, &simplex->place, &simplex->active, &simplex->at,
                          &simplex->numbers};
    const size_t lengths[] = {rows, count, count, count, 3};
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        *wholes[i] = whole != NULL ? whole : NULL;
        whole = whole != NULL ? whole + lengths[i] : NULL;
        bytes += lengths[i] * sizeof(int32_t);
    }
    return bytes;
}

void simplex_activate(struct simplex *simplex, int32_t variable) {
    simplex->at[variable] = simplex->numbers[0];
    simplex->active[simplex->numbers[0]++] = variable;
}

void simplex_deactivate(struct simplex *simplex, int32_t variable) {
    int32_t at = simplex->at[variable], last = simplex->active[--simplex->numbers[0]];
    simplex->active[at] = last;
    simplex->at[last] = at;
    simplex->at[variable] = -1;
}

/* All variables at the limit that their costs ask for; those of the rows are basic. */
static void begin(struct simplex *simplex) {
    const struct columns *columns = simplex->columns;
    for (size_t j = 0; j < columns->count; j++) {
        simplex->reduced[j] = simplex->cost[j];
        simplex->place[j] = simplex->cost[j] < 0 ? -2 : -1;
        double value = simplex->place[j] == -2 ? simplex->most[j] : 0;
        simplex->summary[0] += value * simplex->cost[j];
        if (value != 0)
            simplex_move(simplex, j, value);
        simplex->at[j] = -1;
        if (simplex->most[j] > 0)
            simplex_activate(simplex, (int32_t)j);
    }
    for (size_t i = 0; i < simplex->rows; i++) {
        simplex->inverse[i * simplex->rows + i] = simplex->norm[i] = 1;
        simplex->basis[i] = (int32_t)(columns->count + i);
        simplex->place[columns->count + i] = (int32_t)i;
        simplex->at[columns->count + i] = -1;
    }
    simplex->numbers[1] = 1;
}

static void list_holders(struct simplex *simplex) {
    const struct columns *columns = simplex->columns;
    uint32_t *from = simplex->holds_from + 1;
    for (size_t i = 0; i < columns->entries; i++)
        from[columns->rows[i] + 1]++;
    for (size_t i = 0; i < simplex->rows; i++)
        from[i + 1] += from[i];
    for (size_t j = 0; j < columns->count; j++)
        for (uint32_t i = columns->list[j].first; i < columns->list[j].end; i++)
            simplex->holds[from[columns->rows[i]]++] = (uint32_t)j;
}

bool simplex_make(const struct columns *columns, const int64_t *row_least, const int64_t *row_most,
                  struct simplex *simplex) {
    size_t rows = columns->row_count, count = columns->count + rows;
    *simplex = (struct simplex){.columns = columns, .rows = rows, .count = count, .scale = 1};
    simplex->state_size = lay_out(simplex);
    simplex->state = calloc(1, simplex->state_size);
    simplex->cost = malloc((columns->count + 1) * sizeof *simplex->cost);
    simplex->row = malloc((count + 1) * sizeof *simplex->row);
    simplex->ratio = malloc((count + 1) * sizeof *simplex->ratio);
    simplex->column = malloc((rows + 1) * sizeof *simplex->column);
    simplex->passed = malloc((count + rows + 1) * sizeof *simplex->passed);
    simplex->entry = malloc((rows + 1) * sizeof *simplex->entry);
    simplex->holds_from = calloc(rows + 2, sizeof *simplex->holds_from);
    simplex->holds = malloc((columns->entries + 1) * sizeof *simplex->holds);
    if (!simplex->entry || !simplex->holds_from || !simplex->holds || !simplex->state || !simplex->cost ||
        !simplex->row || !simplex->ratio || !simplex->column || !simplex->passed)
        return false;
    lay_out(simplex);
    list_holders(simplex);
    for (size_t j = 0; j < columns->count; j++) {
        simplex->cost[j] = (double)columns->list[j].cost;
        simplex->scale = fmax(simplex->scale, fabs(simplex->cost[j]));
        /* One more than can ever be: the rows alone shall hold it, so that their prices say it all. */
        simplex->most[j] = (double)columns->list[j].most + 1;
    }
    /* The variable of a row is what makes its sum nothing. */
    for (size_t i = 0; i < rows; i++) {
        simplex->least[columns->count + i] = -(double)row_most[i];
        simplex->most[columns->count + i] = -(double)row_least[i];
    }
    begin(simplex);
    return true;
}

/* The variable of a column there, here; `here` has room for all of theirs. */
static void turn_round(const struct simplex *simplex, const struct simplex *from, const uint32_t *kept,
                       int32_t *here) {
    size_t columns = simplex->columns->count, theirs = from->columns->count;
    memset(here, 0xFF, theirs * sizeof *here);
    for (size_t j = 0; j < columns; j++)
        here[kept[j]] = (int32_t)j;
    for (size_t i = 0; i < simplex->rows; i++)
        here[theirs + i] = (int32_t)(columns + i);
}

bool simplex_follow(struct simplex *simplex, const struct simplex *from, const uint32_t *kept) {
    int32_t *here = malloc(from->count * sizeof *here);
    if (here == NULL)
        return false;
    turn_round(simplex, from, kept, here);
    bool fine = true;
    simplex->numbers[0] = 0;
    for (size_t j = 0; j < simplex->count; j++) {
        simplex->place[j] = -1;
        simplex->at[j] = -1;
    }
    for (size_t i = 0; fine && i < simplex->rows; i++) {
        simplex->basis[i] = here[from->basis[i]];
        fine = simplex->basis[i] >= 0;
        if (fine)
            simplex->place[simplex->basis[i]] = (int32_t)i;
    }
    for (size_t j = 0; fine && j < simplex->count; j++)
        if (simplex->place[j] < 0 && simplex->least[j] < simplex->most[j])
            simplex_activate(simplex, (int32_t)j);
    free(here);
    return fine && simplex_renew(simplex);
}

void simplex_free(struct simplex *simplex) {
    free(simplex->state);
    free(simplex->cost);
    free(simplex->row);
    free(simplex->ratio);
    free(simplex->column);
    free(simplex->passed);
    free(simplex->entry);
    free(simplex->holds_from);
    free(simplex->holds);
    *simplex = (struct simplex){0};
}

void simplex_limit(struct simplex *simplex, size_t variable, double least, double most) {
    double before = simplex->place[variable] == -2 ? simplex->most[variable] : simplex->least[variable];
    bool fixed = simplex->least[variable] >= simplex->most[variable];
    simplex->least[variable] = least;
    simplex->most[variable] = most;
    if (simplex->place[variable] >= 0)
        return;
    if (fixed) /* Those of limits alike are not kept. */
        simplex->reduced[variable] = simplex_reduced(simplex, variable);
    if (fixed && least < most)
        simplex_activate(simplex, (int32_t)variable);
    else if (!fixed && least >= most)
        simplex_deactivate(simplex, (int32_t)variable);
    if (least < most)
        simplex->place[variable] = simplex->reduced[variable] < 0 ? -2 : -1;
    double step = (simplex->place[variable] == -2 ? most : least) - before;
    if (step == 0)
        return;
    simplex->summary[0] += step * simplex->reduced[variable];
    simplex_move(simplex, variable, step);
}

double simplex_value(const struct simplex *simplex, size_t variable) {
    int32_t place = simplex->place[variable];
    return place >= 0    ? simplex->basic[place]
           : place == -2 ? simplex->most[variable]
                         : simplex->least[variable];
}

const double *simplex_ray(const struct simplex *simplex) {
    return simplex->column;
}

void simplex_save(const struct simplex *simplex, void *block) {
    memcpy(block, simplex->state, simplex->state_size);
}

void simplex_restore(struct simplex *simplex, const void *block) {
    memcpy(simplex->state, block, simplex->state_size);
}
