/* What a program in whole numbers branches on. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/integer_search.h"

#include <math.h>
#include <stdlib.h>

/* Candidates of each sort, rows, choices and patterns; pivots for one child of one; children after which one is known. */
enum { CANDIDATES = 6, SORTS = 3, PIVOTS = 25, RELIABLE = 3 };

struct candidate {
    size_t at;
    bool row;
    double value, centre;
};

struct candidates {
    struct candidate list[SORTS][CANDIDATES];
    size_t count[SORTS];
};

static double fraction(double value) {
    return value - floor(value + INTEGER_WHOLE / 10);
}

static double centre(double value) {
    double part = fraction(value);
    return part < 0.5 ? part : 1 - part;
}

/* Keeps those furthest from whole numbers. */
static void consider(struct candidates *candidates, size_t sort, size_t at, bool row, double value) {
    struct candidate *list = candidates->list[sort], now = {at, row, value, centre(value)};
    size_t count = candidates->count[sort];
    if (now.centre <= INTEGER_WHOLE * (row ? 10 : 1) ||
        (count == CANDIDATES && now.centre <= list[count - 1].centre))
        return;
    if (count < CANDIDATES)
        candidates->count[sort] = ++count;
    size_t place = count - 1;
    for (; place > 0 && list[place - 1].centre < now.centre; place--)
        list[place] = list[place - 1];
    list[place] = now;
}

/* The sum of a row cannot but be whole in a solution. */
static void consider_rows(struct integer_search *search, const double *values,
                          struct candidates *candidates) {
    const struct integer_program *program = search->program;
    double *sums = calloc(program->row_count + 1, sizeof *sums);
    if (sums == NULL) {
        search->no_memory = true;
        return;
    }
    for (size_t i = 0; i < program->column_count; i++)
        for (size_t e = program->columns[i].first; values[i] > 1e-9 && e < integer_entries_end(program, i);
             e++)
            sums[program->entry_rows[e]] += values[i] * (double)program->entry_values[e];
    for (size_t i = 0; i < program->row_count; i++)
        if (fabs(sums[i]) < 1e6)
            consider(candidates, 0, i, true, sums[i]);
    free(sums);
}

/* What the relaxation costs with the candidate at most, or at least, the next whole number. */
static double cost_with(struct integer_search *search, const struct candidate *candidate, bool least) {
    double number = floor(candidate->value + INTEGER_WHOLE / 10) + least;
    struct integer_row row = candidate->row ? search->rows[candidate->at] : (struct integer_row){0, 0};
    double low = candidate->row ? (row.least == -INTEGER_FREE ? -HUGE_VAL : (double)row.least)
                                : (double)search->least[candidate->at];
    double high = candidate->row ? (row.most == INTEGER_FREE ? HUGE_VAL : (double)row.most)
                                 : (double)search->most[candidate->at];
    double new_low = least ? number : low, new_high = least ? high : number;
    if (candidate->row)
        lp_set_row(search->lp, candidate->at, new_low, new_high);
    else
        lp_set_limits(search->lp, search->dummies + candidate->at, new_low, new_high);
    lp_solve_dual(search->lp, PIVOTS);
    watch_over(search->watch, integer_pivot_steps(search) * lp_pivots(search->lp));
    double cost = lp_cost(search->lp) * search->money;
    if (candidate->row)
        lp_set_row(search->lp, candidate->at, low, high);
    else
        lp_set_limits(search->lp, search->dummies + candidate->at, low, high);
    return cost;
}

/* What the candidate's child costs more: as it was before, or as tried now. */
static double costs_more(struct integer_search *search, const struct candidate *candidate, bool up,
                         double cost) {
    size_t at = candidate->row ? candidate->at : search->program->row_count + candidate->at;
    struct integer_history *history = &search->history[at];
    double part = fraction(candidate->value), away = up ? 1 - part : part;
    if (history->count[up] < RELIABLE) {
        double more = cost_with(search, candidate, up) - cost, most = (double)search->target - cost;
        history->sum[up] += fmin(fmax(more, 0), most) / away;
        history->count[up]++;
        return more;
    }
    return history->sum[up] / history->count[up] * away;
}

/* The one of which both children cost most; beyond the target is all the same. */
static void choose(struct integer_search *search, const struct candidates *candidates,
                   struct integer_limit *limit) {
    double cost = lp_cost(search->lp) * search->money, most = (double)search->target - cost, best = -1;
    double little = search->money * 1e-6 + 1e-9;
    for (size_t sort = 0; sort < SORTS; sort++)
        for (size_t i = 0; i < candidates->count[sort]; i++) {
            const struct candidate *candidate = &candidates->list[sort][i];
            if (best >= 0 && search->watch->over)
                return;
            double down = fmin(fmax(costs_more(search, candidate, false, cost), little), most),
                   up = fmin(fmax(costs_more(search, candidate, true, cost), little), most);
            double score = down * up;
            if (score <= best)
                continue;
            best = score;
            bool rises = fraction(candidate->value) >= 0.5;
            *limit = (struct integer_limit){candidate->at, candidate->row, rises,
                                            (int64_t)floor(candidate->value + INTEGER_WHOLE / 10) + rises};
        }
}

bool integer_branch(struct integer_search *search, struct integer_limit *limit) {
    const struct integer_program *program = search->program;
    const double *values = lp_values(search->lp) + search->dummies;
    struct candidates candidates = {.count = {0}};
    consider_rows(search, values, &candidates);
    for (size_t i = 0; i < program->column_count; i++)
        consider(&candidates, program->columns[i].rank == 0 ? 1 : 2, i, false, values[i]);
    if (candidates.count[0] + candidates.count[1] + candidates.count[2] == 0)
        return false;
    choose(search, &candidates, limit);
    return true;
}
