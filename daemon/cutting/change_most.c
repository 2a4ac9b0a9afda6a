/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/change_most.h"

#include "cutting/bound.h"
#include "cutting/enumerate.h"
#include "cutting/integer.h"

#include <stdlib.h>

/* Patterns of one program; types, items times lines of bars, and pieces of an item beyond which none is made. */
enum { LIST_MOST = 12000, TYPES_MOST = 1500, COLUMNS_MOST = 100000, PIECES_MOST = 300 };
enum { RANK_KEPT, RANK_PATTERN };

struct keeping {
    const struct cutting_problem *problem;
    const int64_t *cut;
    const struct change_item *items;
    size_t count;
    int64_t cost, least;
    struct watch *watch;
    struct change_most *most;
    struct model model;
    struct engine engine;
    struct scope scope;
    struct choice_list list;
    struct integer_program program;
    size_t *type_of, *stock_of; /* of each line of pieces and of bars; SIZE_MAX: none */
    size_t stock_row, cost_row, item_row;
    size_t *piece_row;          /* of each line of pieces that items use; SIZE_MAX: none */
    struct change_cut *columns; /* what each column of an item is */
    size_t column_count;
};

static size_t *lines(size_t count) {
    size_t *array = malloc((count + 1) * sizeof *array);
    for (size_t i = 0; array != NULL && i < count; i++)
        array[i] = SIZE_MAX;
    return array;
}

static bool map_lines(struct keeping *work) {
    const struct model *model = &work->model;
    work->type_of = lines(work->problem->piece_count);
    work->piece_row = lines(work->problem->piece_count);
    work->stock_of = lines(work->problem->bar_count);
    work->columns = calloc(work->count * work->model.stock_count + 1, sizeof *work->columns);
    if (!work->type_of || !work->stock_of || !work->piece_row || !work->columns)
        return false;
    for (size_t t = 0; t < model->type_count; t++)
        for (size_t i = 0; i < model->types[t].line_count; i++)
            work->type_of[model->lines[model->types[t].first_line + i]] = t;
    for (size_t s = 0; s < model->stock_count; s++)
        for (size_t i = 0; i < model->stocks[s].bar_count; i++)
            work->stock_of[model->bars[model->stocks[s].first_bar + i]] = s;
    return true;
}

/* Types, classes, the cost, items, and lines of pieces as far as items use them. */
static void add_rows(struct keeping *work) {
    const struct model *model = &work->model;
    struct integer_program *program = &work->program;
    for (size_t i = 0; i < model->type_count; i++)
        integer_row(program, model->types[i].demand, model->types[i].demand);
    work->stock_row = program->row_count;
    for (size_t i = 0; i < model->stock_count; i++)
        integer_row(program, 0,
                    model->stocks[i].supply == CUTTING_UNLIMITED ? INTEGER_FREE : model->stocks[i].supply);
    work->cost_row = integer_row(program, -INTEGER_FREE, work->cost);
    work->item_row = program->row_count;
    for (size_t i = 0; i < work->count; i++)
        integer_row(program, 0, work->items[i].count);
    for (size_t i = 0; i < work->count; i++)
        for (size_t p = 0; p < work->items[i].piece_count; p++) {
            uint32_t line = work->items[i].pieces[p];
            if (work->piece_row[line] == SIZE_MAX)
                work->piece_row[line] = integer_row(program, 0, work->cut[line]);
        }
}

/* Adds to the rows of the column at hand; entries of one row are added up first. */
static void add_counts(struct integer_program *program, const size_t *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        int64_t same = 0;
        bool before = false;
        for (size_t n = 0; n < count; n++) {
            same += rows[n] == rows[i];
            before = before || (n < i && rows[n] == rows[i]);
        }
        if (!before)
            integer_entry(program, rows[i], same);
    }
}

/* The class of a line that meets the item, once each: a column, where its pieces fit. */
static void add_item_on(struct keeping *work, size_t item_at, size_t line, int64_t fill, const size_t *rows,
                        const size_t *line_rows) {
    const struct change_item *item = &work->items[item_at];
    size_t at = work->stock_of[line];
    const struct model_stock *stock = &work->model.stocks[at];
    for (size_t c = work->column_count; c-- > 0 && work->columns[c].item == item_at;)
        if (work->stock_of[work->columns[c].bar] == at)
            return;
    if (stock->capacity < fill)
        return;
    bool own = work->stock_of[item->bar] == at;
    work->columns[work->column_count++] = (struct change_cut){.bar = own ? item->bar : line, .item = item_at};
    integer_column(&work->program, -1, item->count, RANK_KEPT);
    add_counts(&work->program, rows, item->piece_count);
    add_counts(&work->program, line_rows, item->piece_count);
    integer_entry(&work->program, work->stock_row + at, 1);
    integer_entry(&work->program, work->cost_row, stock->cost - model_worth(&work->model, stock, fill));
    integer_entry(&work->program, work->item_row + item_at, 1);
}

static bool add_item(struct keeping *work, size_t item_at) {
    const struct cutting_problem *problem = work->problem;
    const struct change_item *item = &work->items[item_at];
    size_t *rows = malloc((2 * item->piece_count + 1) * sizeof *rows);
    int64_t fill = 0;
    if (rows == NULL)
        return false;
    size_t *line_rows = rows + item->piece_count;
    for (size_t p = 0; p < item->piece_count; p++) {
        fill += problem->pieces[item->pieces[p]].length + problem->saw.kerf;
        rows[p] = work->type_of[item->pieces[p]];
        line_rows[p] = work->piece_row[item->pieces[p]];
    }
    for (size_t line = 0; line < problem->bar_count; line++)
        if (work->stock_of[line] != SIZE_MAX && change_meets(problem, item, line))
            add_item_on(work, item_at, line, fill, rows, line_rows);
    free(rows);
    return true;
}

static void add_pattern(struct keeping *work, const struct pattern *pattern) {
    const struct layout_part *parts = work->engine.pool.parts + pattern->first;
    int64_t most = work->model.stocks[pattern->stock].supply;
    most = most == CUTTING_UNLIMITED ? INT64_MAX : most;
    for (size_t p = 0; p < pattern->parts; p++) {
        int64_t times = work->model.types[parts[p].type].demand / parts[p].count;
        most = times < most ? times : most;
    }
    integer_column(&work->program, 0, most, RANK_PATTERN);
    for (size_t p = 0; p < pattern->parts; p++)
        integer_entry(&work->program, (size_t)parts[p].type, parts[p].count);
    integer_entry(&work->program, work->stock_row + (size_t)pattern->stock, 1);
    integer_entry(&work->program, work->cost_row, pattern->cost);
}

static const struct pattern *pattern_at(const struct keeping *work, size_t at) {
    return &work->engine.pool.patterns[work->list.patterns[at]];
}

/* The program's solution in words that do not hang on the model. */
static bool read_uses(struct keeping *work, const int64_t *uses) {
    struct change_most *most = work->most;
    size_t pieces = 0;
    for (size_t i = 0; i < work->list.count; i++)
        for (size_t p = 0; uses[work->column_count + i] > 0 && p < pattern_at(work, i)->parts; p++)
            pieces += (size_t)work->engine.pool.parts[pattern_at(work, i)->first + p].count;
    most->cuts = malloc((work->column_count + work->list.count + 1) * sizeof *most->cuts);
    most->widths = malloc((pieces + 1) * sizeof *most->widths);
    if (most->cuts == NULL || most->widths == NULL)
        return false;
    for (size_t c = 0; c < work->column_count; c++)
        if (uses[c] > 0) {
            most->cuts[most->cut_count] = work->columns[c];
            most->cuts[most->cut_count++].count = uses[c];
        }
    for (size_t i = 0; i < work->list.count; i++) {
        const struct pattern *pattern = pattern_at(work, i);
        if (uses[work->column_count + i] == 0)
            continue;
        struct change_cut *cut = &most->cuts[most->cut_count++];
        *cut = (struct change_cut){.bar = work->model.bars[work->model.stocks[pattern->stock].first_bar],
                                   .count = uses[work->column_count + i],
                                   .item = SIZE_MAX,
                                   .first = most->width_count};
        for (size_t p = 0; p < pattern->parts; p++) {
            const struct layout_part *part = &work->engine.pool.parts[pattern->first + p];
            for (int32_t n = 0; n < part->count; n++)
                most->widths[most->width_count++] = work->model.types[part->type].width;
        }
        cut->width_count = most->width_count - cut->first;
    }
    return true;
}

static bool solve_program(struct keeping *work) {
    struct integer_answer answer;
    int64_t all = 0;
    bool fine = map_lines(work);
    if (fine) {
        add_rows(work);
        for (size_t i = 0; fine && i < work->count; i++) {
            fine = add_item(work, i);
            all += work->items[i].count;
        }
        for (size_t i = 0; i < work->list.count; i++)
            add_pattern(work, pattern_at(work, i));
    }
    fine = fine && integer_solve(&work->program, -work->least, -all, 1, work->watch, &answer);
    if (fine) {
        work->most->bound = -answer.bound;
        work->most->found = answer.found;
        fine = !answer.found || read_uses(work, answer.uses);
        integer_answer_free(&answer);
    }
    return fine;
}

/* Every pattern that a plan of this cost could use, and the program over them, where they are not too many. */
static bool search(struct keeping *work) {
    struct engine *engine = &work->engine;
    struct relaxed relaxed = {0};
    int64_t step = bound_step(&work->model);
    *engine = (struct engine){.model = &work->model,
                              .watch = work->watch,
                              .has_best = true,
                              .target = work->cost + step,
                              .bound = INT64_MIN / 4,
                              .step = step};
    pool_make(&work->model, &engine->pool);
    bool fine = scope_make(&work->model, NULL, NULL, INT64_MAX, NULL, 0, &work->scope) &&
                relax(engine, &work->scope, NULL, 0, &relaxed);
    bool listed = fine && relaxed.converged &&
                  enumerate_patterns(engine, &work->scope, &relaxed, LIST_MOST, &work->list);
    fine = fine && !engine->no_memory && (!listed || solve_program(work));
    relaxed_free(&relaxed);
    return fine;
}

static bool small_enough(const struct keeping *work) {
    if (work->model.type_count > TYPES_MOST || work->count > COLUMNS_MOST / (work->problem->bar_count + 1))
        return false;
    for (size_t i = 0; i < work->count; i++)
        if (work->items[i].piece_count > PIECES_MOST)
            return false;
    return true;
}

bool change_most_search(const struct cutting_problem *problem, const int64_t *cut,
                        const struct change_item *items, size_t count, int64_t cost, int64_t least,
                        struct watch *watch, struct change_most *most, struct fault *fault) {
    struct keeping work = {.problem = problem,
                           .cut = cut,
                           .items = items,
                           .count = count,
                           .cost = cost,
                           .least = least,
                           .watch = watch,
                           .most = most};
    *most = (struct change_most){.bound = INT64_MAX};
    if (!model_make(problem, &(struct model_wish){.demand = cut}, &work.model, fault))
        return false;
    bool fine = !small_enough(&work) || search(&work);
    free(work.list.patterns);
    free(work.type_of);
    free(work.stock_of);
    free(work.columns);
    free(work.piece_row);
    integer_free(&work.program);
    scope_free(&work.scope);
    pool_free(&work.engine.pool);
    model_free(&work.model);
    return fine || fault_memory(fault);
}

void change_most_free(struct change_most *most) {
    free(most->cuts);
    free(most->widths);
    *most = (struct change_most){0};
}
