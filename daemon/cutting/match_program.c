/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/match_program.h"

#include "cutting/integer.h"

#include <stdlib.h>

/* Batches are branched on before patterns. */
enum { RANK_BATCH, RANK_PATTERN };

struct build {
    const struct wide *wide;
    const struct engine *engine;
    const struct choice_list *list;
    struct integer_program program;
    size_t stock_row, place_row, kind_row;
    size_t choice_columns; /* kind after kind, an alternative each; then the patterns */
};

/* Rows: types, classes of stock, places, kinds of group. */
static void add_rows(struct build *build) {
    const struct model *model = &build->wide->model;
    int64_t places = model->problem->remainder.places;
    for (size_t i = 0; i < model->type_count; i++)
        integer_row(&build->program, build->wide->joins.base[i], build->wide->joins.base[i]);
    build->stock_row = build->program.row_count;
    for (size_t i = 0; i < model->stock_count; i++)
        integer_row(&build->program, 0,
                    model->stocks[i].supply == CUTTING_UNLIMITED ? INTEGER_FREE : model->stocks[i].supply);
    build->place_row = integer_row(&build->program, 0, places == CUTTING_UNLIMITED ? INTEGER_FREE : places);
    build->kind_row = build->program.row_count;
    for (size_t k = 0; k < build->wide->kind_count; k++)
        integer_row(&build->program, build->wide->kinds[k].count, build->wide->kinds[k].count);
}

/* A batch taken asks for its pieces. */
static void add_choice(struct build *build, size_t kind, const struct join_choice *choice,
                       size_t alternative) {
    const int32_t *types = join_types(choice, alternative);
    integer_column(&build->program, 0, build->wide->kinds[kind].count, RANK_BATCH);
    integer_entry(&build->program, build->kind_row + kind, 1);
    for (size_t p = 0, next; p < choice->pieces; p = next) {
        for (next = p + 1; next < choice->pieces && types[next] == types[p];)
            next++;
        integer_entry(&build->program, (size_t)types[p], -(int64_t)(next - p));
    }
}

static void add_pattern(struct build *build, const struct pattern *pattern) {
    const struct model *model = &build->wide->model;
    const struct layout_part *parts = build->engine->pool.parts + pattern->first;
    int64_t supply = model->stocks[pattern->stock].supply;
    int64_t most = supply == CUTTING_UNLIMITED ? INT64_MAX : supply;
    for (size_t p = 0; p < pattern->parts; p++) {
        int64_t times = model->types[parts[p].type].demand / parts[p].count;
        most = times < most ? times : most;
    }
    integer_column(&build->program, pattern->cost, most, RANK_PATTERN);
    for (size_t p = 0; p < pattern->parts; p++)
        integer_entry(&build->program, (size_t)parts[p].type, parts[p].count);
    integer_entry(&build->program, build->stock_row + (size_t)pattern->stock, 1);
    if (pattern->returns)
        integer_entry(&build->program, build->place_row, 1);
}

static void add_columns(struct build *build) {
    const struct wide *wide = build->wide;
    for (size_t k = 0; k < wide->kind_count; k++) {
        const struct join_choice *choice = &wide->joins.choices[wide->kinds[k].first];
        for (size_t a = 0; a < choice->count; a++)
            add_choice(build, k, choice, a);
    }
    build->choice_columns = build->program.column_count;
    for (size_t i = 0; i < build->list->count; i++)
        add_pattern(build, &build->engine->pool.patterns[build->list->patterns[i]]);
}

/* The groups of a kind take its batches in order. */
static void read_choice(const struct build *build, const int64_t *uses, struct batches *batches) {
    const struct wide *wide = build->wide;
    size_t column = 0;
    for (size_t k = 0; k < wide->kind_count; k++) {
        size_t group = 0, alternatives = wide->joins.choices[wide->kinds[k].first].count;
        for (size_t a = 0; a < alternatives; a++, column++)
            for (int64_t n = 0; n < uses[column]; group++)
                if (wide->kind_of[group] == k) {
                    batches->chosen[wide->group_of[group]] = wide->batch_of[group][a];
                    n++;
                }
    }
    batches_spread(batches);
}

/* Types of the wide model stand in the same order in the model of one choice, which has fewer of them. */
static void map_types(const struct model *wide, const struct model *model, int32_t *mapped) {
    size_t at = 0;
    for (size_t i = 0; i < wide->type_count; i++) {
        bool here = at < model->type_count && model->types[at].width == wide->types[i].width &&
                    model->types[at].batch == wide->types[i].batch;
        mapped[i] = here ? (int32_t)at++ : -1;
    }
}

static bool read_layout(const struct build *build, const int64_t *uses, const struct model *model,
                        struct layout *layout) {
    size_t types = build->wide->model.type_count;
    int32_t *mapped = malloc((types + 1) * sizeof *mapped);
    struct layout_part *parts = malloc((types + 1) * sizeof *parts);
    bool fine = mapped != NULL && parts != NULL;
    if (fine)
        map_types(&build->wide->model, model, mapped);
    for (size_t i = 0; fine && i < build->list->count; i++) {
        const struct pattern *pattern = &build->engine->pool.patterns[build->list->patterns[i]];
        if (uses[build->choice_columns + i] == 0)
            continue;
        for (size_t p = 0; p < pattern->parts; p++) {
            parts[p] = build->engine->pool.parts[pattern->first + p];
            parts[p].type = mapped[parts[p].type];
        }
        layout_add(layout, pattern->stock, uses[build->choice_columns + i], pattern->fill, parts,
                   pattern->parts);
    }
    if (fine)
        layout_settle(model, layout);
    free(mapped);
    free(parts);
    return fine && !layout->no_memory;
}

static bool read_answer(const struct build *build, const int64_t *uses, const struct cutting_problem *problem,
                        const int64_t *wanted, struct batches *batches, struct layout *layout) {
    struct model model;
    struct fault fault;
    read_choice(build, uses, batches);
    struct model_wish wish = {wanted, batches->of_piece, batches->of_bar, false};
    if (!model_make(problem, &wish, &model, &fault))
        return false;
    bool fine = read_layout(build, uses, &model, layout);
    model_free(&model);
    return fine;
}

bool match_program(struct engine *engine, const struct wide *wide, const struct choice_list *list,
                   int64_t floor, const struct cutting_problem *problem, const int64_t *wanted,
                   struct batches *batches, int64_t *bound, bool *found, struct layout *layout) {
    struct build build = {.wide = wide, .engine = engine, .list = list};
    struct integer_answer answer;
    add_rows(&build);
    add_columns(&build);
    bool fine = integer_solve(&build.program, engine->target, floor, engine->step, engine->watch, &answer);
    *found = fine && answer.found;
    if (fine) {
        *bound = answer.bound;
        if (*found)
            fine = read_answer(&build, answer.uses, problem, wanted, batches, layout);
        integer_answer_free(&answer);
    }
    integer_free(&build.program);
    return fine;
}
