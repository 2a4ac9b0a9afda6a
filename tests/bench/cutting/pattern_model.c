/* SPDX-License-Identifier: Apache-2.0 */
#include "pattern_model.h"

#include <math.h>
#include <stdlib.h>

/* The multiset of pieces that is built up, one line of the problem after the other. */
struct building {
    const struct cutting_problem *problem;
    struct pattern_model *model;
    int64_t *counts;
    int64_t pieces, length; /* in all */
    int64_t rate_value;     /* a remainder is worth this for rate_length, less what the percentage takes */
    ell_length rate_length;
};

/* The lowest value per length among unlimited bars (cutting/problem.h says so of value_percent). */
static void find_rate(struct building *building) {
    const struct cutting_problem *problem = building->problem;
    building->rate_length = 0;
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        if (bar->quantity != CUTTING_UNLIMITED)
            continue;
        if (building->rate_length == 0 ||
            bar->value * building->rate_length < building->rate_value * bar->length) {
            building->rate_value = bar->value;
            building->rate_length = bar->length;
        }
    }
}

/* Net cost of the multiset on this bar; false: it does not fit. The last piece may end flush with the bar. */
static bool bar_cost(const struct building *building, const struct cutting_bar *bar, int64_t *cost) {
    const struct cutting_problem *problem = building->problem;
    int64_t left = bar->length - (bar->squared ? 0 : problem->saw.lead_trim) - building->length -
                   (building->pieces - 1) * problem->saw.kerf;
    if (left < 0)
        return false;
    int64_t remainder = left > problem->saw.kerf ? left - problem->saw.kerf : 0;
    *cost = bar->value;
    if (remainder >= problem->remainder.usable)
        *cost -=
            problem->remainder.percent * remainder * building->rate_value / (100 * building->rate_length);
    return true;
}

static bool make_room(struct pattern_model *model, size_t entries) {
    if (model->columns + 1 >= model->column_room) {
        size_t room = model->column_room * 2 + 1024;
        int *start = realloc(model->start, room * sizeof *start);
        model->start = start ? start : model->start;
        double *cost = realloc(model->cost, room * sizeof *cost);
        model->cost = cost ? cost : model->cost;
        double *most = realloc(model->most, room * sizeof *most);
        model->most = most ? most : model->most;
        if (start == NULL || cost == NULL || most == NULL)
            return false;
        model->column_room = room;
    }
    if (model->entries + entries > model->entry_room) {
        size_t room = model->entry_room * 2 + entries + 4096;
        int *row = realloc(model->row, room * sizeof *row);
        model->row = row ? row : model->row;
        double *value = realloc(model->value, room * sizeof *value);
        model->value = value ? value : model->value;
        if (row == NULL || value == NULL)
            return false;
        model->entry_room = room;
    }
    return true;
}

static bool add_column(struct building *building, size_t bar, int64_t cost) {
    const struct cutting_problem *problem = building->problem;
    struct pattern_model *model = building->model;
    if (model->columns == PATTERN_COLUMNS_MOST || !make_room(model, problem->piece_count + 1))
        return false;
    double most = HUGE_VAL;
    model->start[model->columns] = (int)model->entries;
    for (size_t i = 0; i < problem->piece_count; i++)
        if (building->counts[i] > 0) {
            model->row[model->entries] = (int)i;
            model->value[model->entries++] = (double)building->counts[i];
            int64_t times = problem->pieces[i].quantity / building->counts[i];
            most = fmin(most, (double)times);
        }
    if (problem->bars[bar].quantity != CUTTING_UNLIMITED) {
        model->row[model->entries] = (int)(problem->piece_count + bar);
        model->value[model->entries++] = 1;
        most = fmin(most, (double)problem->bars[bar].quantity);
    }
    model->cost[model->columns] = (double)cost;
    model->most[model->columns++] = most;
    model->start[model->columns] = (int)model->entries;
    return true;
}

/* The columns of the multiset as it stands; `fits`: some bar takes it. */
static bool add_columns(struct building *building, bool *fits) {
    const struct cutting_problem *problem = building->problem;
    int64_t least = INT64_MAX, cost;
    size_t cheapest = 0;
    *fits = false;
    for (size_t i = 0; i < problem->bar_count; i++)
        if (problem->bars[i].quantity == CUTTING_UNLIMITED && bar_cost(building, &problem->bars[i], &cost) &&
            cost < least) {
            least = cost;
            cheapest = i;
        }
    if (least < INT64_MAX) {
        *fits = true;
        if (!add_column(building, cheapest, least))
            return false;
    }
    for (size_t i = 0; i < problem->bar_count; i++) {
        if (problem->bars[i].quantity == CUTTING_UNLIMITED || !bar_cost(building, &problem->bars[i], &cost))
            continue;
        *fits = true;
        if (cost < least && !add_column(building, i, cost))
            return false;
    }
    return true;
}

static bool extend(struct building *building, size_t from) {
    const struct cutting_problem *problem = building->problem;
    for (size_t i = from; i < problem->piece_count; i++) {
        if (building->counts[i] == problem->pieces[i].quantity)
            continue;
        building->counts[i]++;
        building->pieces++;
        building->length += problem->pieces[i].length;
        bool fits, fine = add_columns(building, &fits) && (!fits || extend(building, i));
        building->counts[i]--;
        building->pieces--;
        building->length -= problem->pieces[i].length;
        if (!fine)
            return false;
    }
    return true;
}

bool pattern_model_make(const struct cutting_problem *problem, struct pattern_model *model) {
    struct building building = {.problem = problem, .model = model};
    *model = (struct pattern_model){.rows = problem->piece_count + problem->bar_count};
    find_rate(&building);
    building.counts = calloc(problem->piece_count + 1, sizeof *building.counts);
    model->row_least = calloc(model->rows + 1, sizeof *model->row_least);
    model->row_most = calloc(model->rows + 1, sizeof *model->row_most);
    bool fine = building.counts != NULL && model->row_least != NULL && model->row_most != NULL &&
                building.rate_length > 0;
    for (size_t i = 0; fine && i < model->rows; i++) {
        bool piece = i < problem->piece_count;
        int64_t most = piece ? problem->pieces[i].quantity : problem->bars[i - problem->piece_count].quantity;
        model->row_least[i] = piece ? (double)most : 0;
        model->row_most[i] = most == CUTTING_UNLIMITED ? HUGE_VAL : (double)most;
    }
    fine = fine && extend(&building, 0) && model->columns > 0;
    free(building.counts);
    if (!fine)
        pattern_model_free(model);
    return fine;
}

void pattern_model_free(struct pattern_model *model) {
    free(model->start);
    free(model->row);
    free(model->value);
    free(model->cost);
    free(model->most);
    free(model->row_least);
    free(model->row_most);
    *model = (struct pattern_model){0};
}
