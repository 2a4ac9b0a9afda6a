/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CUTS_MOST = 400, STRETCH = 100, PIVOTS_MOST = 20000 };

const struct pattern *program_pattern(const struct program *program, size_t column) {
    return &program->engine->pool.patterns[program->list->patterns[column]];
}

int32_t program_holds(const struct program *program, size_t column, int32_t type) {
    const struct pattern *pattern = program_pattern(program, column);
    const struct layout_part *parts = program->engine->pool.parts + pattern->first;
    for (size_t i = 0; i < pattern->parts && parts[i].type <= type; i++)
        if (parts[i].type == type)
            return parts[i].count;
    return 0;
}

static int64_t uses_at_most(const struct program *program, size_t column) {
    const struct model *model = program->engine->model;
    const struct pattern *pattern = program_pattern(program, column);
    int64_t supply = model->stocks[pattern->stock].supply,
            most = supply == CUTTING_UNLIMITED ? INT64_MAX : supply;
    for (size_t i = 0; i < pattern->parts; i++) {
        const struct layout_part *part = &program->engine->pool.parts[pattern->first + i];
        int64_t times = model->types[part->type].demand / part->count;
        if (times < most)
            most = times;
    }
    return most;
}

/* Rows: types, classes, places. */
static bool make_rows(struct program *program) {
    const struct model *model = program->engine->model;
    int64_t places = model->problem->remainder.places;
    program->stock_row = program->types;
    program->place_row = program->stock_row + program->stocks;
    program->cut_row = program->place_row + (places != CUTTING_UNLIMITED);
    double *lower = malloc((program->cut_row + 1) * sizeof *lower);
    double *upper = malloc((program->cut_row + 1) * sizeof *upper);
    if (lower != NULL && upper != NULL) {
        for (size_t i = 0; i < program->types; i++)
            lower[i] = upper[i] = (double)model->types[i].demand;
        for (size_t i = 0; i < program->stocks; i++) {
            int64_t supply = model->stocks[i].supply;
            lower[program->stock_row + i] = 0;
            upper[program->stock_row + i] = supply == CUTTING_UNLIMITED ? HUGE_VAL : (double)supply;
        }
        if (places != CUTTING_UNLIMITED) {
            lower[program->place_row] = -HUGE_VAL;
            upper[program->place_row] = (double)places;
        }
        program->lp = lp_make(program->cut_row, lower, upper);
    }
    free(lower);
    free(upper);
    return program->lp != NULL;
}

/* Dummies, two to each type (one piece too few, one too many) and one to each class, so that there always is
 * a solution; then the patterns. */
static bool make_columns(struct program *program) {
    size_t entries = program->types * 2 + program->stocks;
    for (size_t i = 0; i < program->columns; i++)
        entries += program_pattern(program, i)->parts + 2;
    size_t count = program->dummies + program->columns, at = 0, column = 0;
    double *cost = malloc((count + 1) * sizeof *cost), *limit = malloc((count + 1) * sizeof *limit);
    double *value = malloc((entries + 1) * sizeof *value);
    int *start = malloc((count + 1) * sizeof *start), *row = malloc((entries + 1) * sizeof *row);
    bool fine = cost && limit && value && start && row;
    for (; fine && column < program->dummies; column++) {
        bool too_few = column < program->types, stock = column >= 2 * program->types;
        start[column] = (int)at;
        cost[column] = program->dummy;
        limit[column] = HUGE_VAL;
        row[at] = (int)(too_few ? column
                        : stock ? program->stock_row + column - 2 * program->types
                                : column - program->types);
        value[at++] = too_few || stock ? 1 : -1;
    }
    for (size_t i = 0; fine && i < program->columns; i++, column++) {
        const struct pattern *pattern = program_pattern(program, i);
        start[column] = (int)at;
        cost[column] = (double)pattern->cost / program->money;
        limit[column] = (double)program->base[i];
        for (size_t p = 0; p < pattern->parts; p++) {
            row[at] = program->engine->pool.parts[pattern->first + p].type;
            value[at++] = program->engine->pool.parts[pattern->first + p].count;
        }
        row[at] = (int)program->stock_row + pattern->stock;
        value[at++] = 1;
        if (pattern->returns && program->place_row < program->cut_row) {
            row[at] = (int)program->place_row;
            value[at++] = 1;
        }
    }
    if (fine) {
        start[count] = (int)at;
        lp_add(program->lp, &(struct lp_columns){count, cost, limit, start, row, value});
    }
    free(cost);
    free(limit);
    free(value);
    free(start);
    free(row);
    return fine;
}

bool program_make(struct engine *engine, const struct choice_list *list, struct program *program) {
    const struct model *model = engine->model;
    *program = (struct program){.engine = engine,
                                .list = list,
                                .money = 1,
                                .dummy = 8,
                                .types = model->type_count,
                                .stocks = model->stock_count,
                                .columns = list->count};
    program->dummies = 2 * program->types + program->stocks;
    for (size_t i = 0; i < model->stock_count; i++)
        if ((double)model->stocks[i].cost > program->money)
            program->money = (double)model->stocks[i].cost;
    program->scale = 1;
    while (program->scale * 2 * program->money < 0x1p48 && program->scale < 0x1p36)
        program->scale *= 2;
    size_t columns = program->columns + 1, stocks = program->stocks + 1;
    program->base = calloc(columns, sizeof(int64_t));
    program->least = calloc(columns, sizeof(int64_t));
    program->most = calloc(columns, sizeof(int64_t));
    program->reduced = calloc(columns, sizeof(int64_t));
    program->root_reduced = calloc(columns, sizeof(int64_t));
    program->use = calloc(columns, sizeof(double));
    program->stock_least = calloc(stocks, sizeof(int64_t));
    program->stock_most = calloc(stocks, sizeof(int64_t));
    program->cuts = calloc(CUTS_MOST, sizeof *program->cuts);
    if (!program->base || !program->least || !program->most || !program->reduced || !program->root_reduced ||
        !program->use || !program->stock_least || !program->stock_most || !program->cuts)
        return false;
    for (size_t i = 0; i < program->columns; i++)
        program->base[i] = program->most[i] = uses_at_most(program, i);
    return make_rows(program) && make_columns(program);
}

void program_free(struct program *program) {
    lp_free(program->lp);
    free(program->base);
    free(program->least);
    free(program->most);
    free(program->reduced);
    free(program->root_reduced);
    free(program->use);
    free(program->stock_least);
    free(program->stock_most);
    free(program->cuts);
}

/* What the limit does to one column. */
static void limit_column(struct program *program, const struct limit *limit, size_t column) {
    if (limit->kind == LIMIT_USE_MOST || limit->kind == LIMIT_USE_LEAST) {
        if ((size_t)limit->one != column)
            return;
        if (limit->kind == LIMIT_USE_MOST && program->most[column] > limit->count)
            program->most[column] = limit->count;
        if (limit->kind == LIMIT_USE_LEAST && program->least[column] < limit->count)
            program->least[column] = limit->count;
        return;
    }
    bool one = program_holds(program, column, limit->one) > 0,
         other = program_holds(program, column, limit->other) > 0;
    if ((limit->kind == LIMIT_TOGETHER && one != other) || (limit->kind == LIMIT_APART && one && other))
        program->most[column] = 0;
}

void program_limit(struct program *program, const struct limit *limits, size_t count) {
    const struct model *model = program->engine->model;
    memcpy(program->most, program->base, program->columns * sizeof *program->most);
    memset(program->least, 0, program->columns * sizeof *program->least);
    for (size_t i = 0; i < program->stocks; i++) {
        program->stock_least[i] = 0;
        program->stock_most[i] =
            model->stocks[i].supply == CUTTING_UNLIMITED ? INT64_MAX : model->stocks[i].supply;
    }
    for (size_t n = 0; n < count; n++) {
        const struct limit *limit = &limits[n];
        if (limit->kind == LIMIT_STOCK_MOST && program->stock_most[limit->one] > limit->count)
            program->stock_most[limit->one] = limit->count;
        else if (limit->kind == LIMIT_STOCK_LEAST && program->stock_least[limit->one] < limit->count)
            program->stock_least[limit->one] = limit->count;
        if (limit->kind != LIMIT_STOCK_MOST && limit->kind != LIMIT_STOCK_LEAST)
            for (size_t i = 0; i < program->columns; i++)
                limit_column(program, limit, i);
    }
    for (size_t i = 0; i < program->columns; i++) {
        if (program->least[i] > program->most[i])
            program->most[i] = program->least[i];
        lp_set_limits(program->lp, program->dummies + i, (double)program->least[i], (double)program->most[i]);
    }
    for (size_t i = 0; i < program->stocks; i++)
        lp_set_row(program->lp, program->stock_row + i, (double)program->stock_least[i],
                   program->stock_most[i] == INT64_MAX ? HUGE_VAL : (double)program->stock_most[i]);
}

static double dummies_used(const struct program *program) {
    double sum = 0;
    for (size_t i = 0; i < program->dummies; i++)
        sum += lp_values(program->lp)[i];
    return sum;
}

/* In stretches, so that a cancel is noticed between them; see master_solve. */
static bool solve_by(struct program *program, bool method(struct lp *, int)) {
    struct watch *watch = program->engine->watch;
    int sum = 0;
    for (int stretch = STRETCH;; stretch += STRETCH / 2) {
        bool solved = method(program->lp, stretch);
        int pivots = lp_pivots(program->lp);
        sum += pivots;
        bool over = watch_over(watch, (int64_t)pivots * (int64_t)(program->cut_row / 8 + 4));
        if (solved || pivots < stretch || over || sum > PIVOTS_MOST)
            return solved;
    }
}

bool program_solve(struct program *program) {
    for (;;) {
        bool solved = solve_by(program, lp_solve_dual);
        if (!solved && !program->engine->watch->ended)
            solved = solve_by(program, lp_solve);
        if (!solved)
            return false;
        if (dummies_used(program) < 1e-6 || program->dummy > 1e6 ||
            lp_cost(program->lp) * program->money >= (double)program->engine->target)
            break;
        program->dummy *= 32;
        for (size_t i = 0; i < program->dummies; i++)
            lp_set_cost(program->lp, i, program->dummy);
    }
    memcpy(program->use, lp_values(program->lp) + program->dummies, program->columns * sizeof *program->use);
    return true;
}
