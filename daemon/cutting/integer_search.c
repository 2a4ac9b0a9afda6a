/* The search of a program in whole numbers. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/integer_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { STRETCH = 100, PIVOTS_MOST = 20000, CUT_ROUNDS = 40 };

/* In money of the dearest column: what it costs at first to miss a row by one, and the most that is tried. */
#define DUMMY 8.0
#define DUMMY_MOST 1e7

static double edge(int64_t number) {
    return number == INTEGER_FREE ? HUGE_VAL : number == -INTEGER_FREE ? -HUGE_VAL : (double)number;
}

/* Two dummies a row, one each way, so that there always is a solution; then the columns. */
static bool make_columns(struct integer_search *search) {
    const struct integer_program *program = search->program;
    size_t count = search->dummies + program->column_count, entries = search->dummies + program->entry_count,
           at = 0;
    double *cost = malloc((count + 1) * sizeof *cost), *limit = malloc((count + 1) * sizeof *limit);
    double *value = malloc((entries + 1) * sizeof *value);
    int *start = malloc((count + 1) * sizeof *start), *row = malloc((entries + 1) * sizeof *row);
    bool fine = cost && limit && value && start && row;
    for (size_t i = 0; fine && i < count; i++) {
        bool dummy = i < search->dummies;
        start[i] = (int)at;
        cost[i] = search->dummy;
        limit[i] = HUGE_VAL;
        if (dummy) {
            row[at] = (int)(i / 2);
            value[at++] = i % 2 == 0 ? 1 : -1;
            continue;
        }
        const struct integer_column *column = &program->columns[i - search->dummies];
        cost[i] = (double)column->cost / search->money;
        limit[i] = (double)column->limit;
        for (size_t e = column->first; e < integer_entries_end(program, i - search->dummies); e++) {
            row[at] = program->entry_rows[e];
            value[at++] = (double)program->entry_values[e];
        }
    }
    if (fine) {
        start[count] = (int)at;
        lp_add(search->lp, &(struct lp_columns){count, cost, limit, start, row, value});
    }
    free(cost);
    free(limit);
    free(value);
    free(start);
    free(row);
    return fine;
}

static bool make_rows(struct integer_search *search) {
    const struct integer_program *program = search->program;
    double *lower = malloc((program->row_count + 1) * sizeof *lower);
    double *upper = malloc((program->row_count + 1) * sizeof *upper);
    for (size_t i = 0; lower != NULL && upper != NULL && i < program->row_count; i++) {
        lower[i] = edge(program->rows[i].least);
        upper[i] = edge(program->rows[i].most);
    }
    if (lower != NULL && upper != NULL)
        search->lp = lp_make(program->row_count, lower, upper);
    free(lower);
    free(upper);
    return search->lp != NULL;
}

static bool search_make(struct integer_search *search) {
    const struct integer_program *program = search->program;
    size_t columns = program->column_count + 1, rows = program->row_count + 1;
    search->money = search->scale = 1;
    search->dummy = DUMMY;
    search->dummies = 2 * program->row_count;
    for (size_t i = 0; i < program->column_count; i++)
        if (fabs((double)program->columns[i].cost) > search->money)
            search->money = fabs((double)program->columns[i].cost);
    while (search->scale * 2 * search->money < 0x1p46 && search->scale < 0x1p36)
        search->scale *= 2;
    search->base = calloc(columns, sizeof *search->base);
    search->least = calloc(columns, sizeof *search->least);
    search->most = calloc(columns, sizeof *search->most);
    search->reduced = calloc(columns, sizeof *search->reduced);
    search->rows = calloc(rows, sizeof *search->rows);
    search->prices = calloc(rows, sizeof *search->prices);
    search->sums = calloc(rows, sizeof *search->sums);
    search->history = calloc(rows + columns, sizeof *search->history);
    search->answer->uses = calloc(columns, sizeof *search->answer->uses);
    if (!search->base || !search->least || !search->most || !search->reduced || !search->rows ||
        !search->prices || !search->sums || !search->history || !search->answer->uses)
        return false;
    for (size_t i = 0; i < program->column_count; i++)
        search->base[i] = program->columns[i].limit;
    return make_rows(search) && make_columns(search);
}

static void search_free(struct integer_search *search) {
    lp_free(search->lp);
    free(search->base);
    free(search->least);
    free(search->most);
    free(search->reduced);
    free(search->rows);
    free(search->prices);
    free(search->sums);
    free(search->history);
    integer_cuts_free(search);
    while (search->top != NULL) {
        struct integer_node *node = search->top;
        search->top = node->below;
        free(node);
    }
}

static size_t node_bytes(const struct integer_node *node) {
    return sizeof *node + node->limit_count * sizeof *node->limits;
}

static void push(struct integer_search *search, const struct integer_node *parent,
                 const struct integer_limit *limit, int64_t bound) {
    size_t inherited = parent ? parent->limit_count : 0, count = inherited + (limit != NULL);
    struct integer_node *node = malloc(sizeof *node + count * sizeof *node->limits);
    if (node == NULL) {
        search->no_memory = true;
        return;
    }
    *node = (struct integer_node){.below = search->top, .bound = bound, .limit_count = count};
    if (inherited > 0)
        memcpy(node->limits, parent->limits, inherited * sizeof *node->limits);
    if (limit != NULL)
        node->limits[inherited] = *limit;
    search->top = node;
    search->bytes += node_bytes(node);
    watch_room(search->watch, search->room + search->bytes);
}

/* Limits as in the node; false when they contradict each other. */
static bool set_limits(struct integer_search *search, const struct integer_node *node) {
    const struct integer_program *program = search->program;
    memcpy(search->most, search->base, program->column_count * sizeof *search->most);
    memset(search->least, 0, program->column_count * sizeof *search->least);
    memcpy(search->rows, program->rows, program->row_count * sizeof *search->rows);
    for (size_t i = 0; i < node->limit_count; i++) {
        const struct integer_limit *limit = &node->limits[i];
        int64_t *least = limit->row ? &search->rows[limit->at].least : &search->least[limit->at];
        int64_t *most = limit->row ? &search->rows[limit->at].most : &search->most[limit->at];
        if (limit->least && *least < limit->number)
            *least = limit->number;
        if (!limit->least && *most > limit->number)
            *most = limit->number;
        if (*least > *most)
            return false;
    }
    for (size_t i = 0; i < program->column_count; i++)
        lp_set_limits(search->lp, search->dummies + i, (double)search->least[i], (double)search->most[i]);
    for (size_t i = 0; i < program->row_count; i++)
        lp_set_row(search->lp, i, edge(search->rows[i].least), edge(search->rows[i].most));
    return true;
}

/* In stretches, so that a cancel is noticed between them; see master_solve. */
static bool solve_by(struct integer_search *search, bool method(struct lp *, int)) {
    int sum = 0;
    for (int stretch = STRETCH;; stretch += STRETCH / 2) {
        bool solved = method(search->lp, stretch);
        int pivots = lp_pivots(search->lp);
        sum += pivots;
        bool over = watch_over(search->watch, integer_pivot_steps(search) * pivots);
        if (solved || pivots < stretch || over || sum > PIVOTS_MOST)
            return solved;
    }
}

static double dummies_used(const struct integer_search *search) {
    double sum = 0;
    for (size_t i = 0; i < search->dummies; i++)
        sum += lp_values(search->lp)[i];
    return sum;
}

static bool solve_relaxed(struct integer_search *search) {
    for (;;) {
        bool solved = solve_by(search, lp_solve_dual);
        if (!solved && !search->watch->ended)
            solved = solve_by(search, lp_solve);
        if (!solved || dummies_used(search) < 1e-6 || search->dummy > DUMMY_MOST ||
            lp_cost(search->lp) * search->money >= (double)search->target)
            return solved;
        search->dummy *= 32;
        for (size_t i = 0; i < search->dummies; i++)
            lp_set_cost(search->lp, i, search->dummy);
    }
}

/* Prices as integers of the sign that their rows allow, and what the rows give at these prices. */
static __int128 round_prices(struct integer_search *search) {
    const double *given = lp_prices(search->lp);
    __int128 sum = 0;
    for (size_t i = 0; i < search->program->row_count; i++) {
        double price = given[i] * search->money * search->scale;
        int64_t whole = fabs(price) < 0x1p60 ? (int64_t)llround(price) : 0;
        int64_t of = whole > 0 ? search->rows[i].least : search->rows[i].most;
        if (of == INTEGER_FREE || of == -INTEGER_FREE)
            whole = 0;
        search->prices[i] = whole;
        sum += whole != 0 ? (__int128)whole * of : 0;
    }
    return sum;
}

static int64_t up_to_step(const struct integer_search *search, __int128 sum) {
    __int128 scale = (__int128)search->scale * search->step, steps = sum / scale;
    if (steps * scale < sum)
        steps++;
    __int128 bound = steps * search->step;
    return bound > INT64_MAX / 4 ? INT64_MAX / 4 : bound < INT64_MIN / 4 ? INT64_MIN / 4 : (int64_t)bound;
}

/* A cut's price is 0 or below. */
static void price_cuts(struct integer_search *search, __int128 *sum) {
    const double *given = lp_prices(search->lp) + search->program->row_count;
    for (size_t c = 0; c < search->cut_count; c++) {
        const struct integer_cut *cut = &search->cuts[c];
        double price = given[c] * search->money * search->scale / (double)cut->largest;
        int64_t whole = price < 0 && price > -0x1p60 ? (int64_t)llround(price) : 0;
        for (size_t i = 0; whole != 0 && i < cut->count; i++)
            search->reduced[cut->columns[i]] -= (__int128)whole * cut->values[i];
        *sum += (__int128)whole * cut->most;
    }
}

/* No solution of the node at hand costs less. */
static int64_t safe_bound(struct integer_search *search) {
    const struct integer_program *program = search->program;
    __int128 sum = round_prices(search);
    for (size_t i = 0; i < program->column_count; i++) {
        __int128 reduced = (__int128)program->columns[i].cost * (int64_t)search->scale;
        for (size_t e = program->columns[i].first; e < integer_entries_end(program, i); e++)
            reduced -= (__int128)search->prices[program->entry_rows[e]] * program->entry_values[e];
        search->reduced[i] = reduced;
    }
    price_cuts(search, &sum);
    for (size_t i = 0; i < program->column_count; i++)
        sum += search->reduced[i] * (search->reduced[i] < 0 ? search->most[i] : search->least[i]);
    search->sum = sum;
    return up_to_step(search, sum);
}

/* After the first node's bound: columns that no solution below the target can use. */
static void rule_out(struct integer_search *search) {
    __int128 room = (__int128)(search->target - search->step) * (int64_t)search->scale - search->sum;
    for (size_t i = 0; i < search->program->column_count; i++)
        if (search->base[i] > 0 && search->reduced[i] > room) {
            search->base[i] = search->most[i] = 0;
            lp_set_limits(search->lp, search->dummies + i, 0, 0);
        }
}

/* Takes the relaxation's solution when it is whole and keeps to every row. */
static bool take_whole(struct integer_search *search) {
    const struct integer_program *program = search->program;
    const double *values = lp_values(search->lp) + search->dummies;
    int64_t cost = 0;
    memset(search->sums, 0, program->row_count * sizeof *search->sums);
    for (size_t i = 0; i < program->column_count; i++) {
        double near = round(values[i]);
        if (fabs(values[i] - near) > INTEGER_WHOLE)
            return false;
        int64_t times = (int64_t)near;
        if (times < 0 || times > program->columns[i].limit)
            return false;
        cost += program->columns[i].cost * times;
        for (size_t e = program->columns[i].first; times != 0 && e < integer_entries_end(program, i); e++)
            search->sums[program->entry_rows[e]] += program->entry_values[e] * times;
    }
    for (size_t i = 0; i < program->row_count; i++)
        if (search->sums[i] < program->rows[i].least || search->sums[i] > program->rows[i].most)
            return false;
    if (cost < search->target) {
        search->target = search->answer->cost = cost;
        search->answer->found = true;
        for (size_t i = 0; i < program->column_count; i++)
            search->answer->uses[i] = (int64_t)round(values[i]);
    }
    return true;
}

static void give_up(struct integer_search *search, int64_t bound) {
    if (bound < search->unresolved)
        search->unresolved = bound;
}

/* Below the first node only the cuts stay that have a price there. */
static bool keep_priced_cuts(struct integer_search *search) {
    const double *prices = lp_prices(search->lp) + search->program->row_count;
    size_t kept = 0;
    for (size_t c = 0; c < search->cut_count; c++)
        if (fabs(prices[c]) > 1e-9)
            search->cuts[kept++] = search->cuts[c];
        else
            integer_cut_free(&search->cuts[c]);
    search->cut_count = kept;
    lp_free(search->lp);
    search->lp = NULL;
    if (!make_rows(search) || !make_columns(search))
        return false;
    for (size_t c = 0; c < kept; c++)
        if (!integer_cut_row(search, &search->cuts[c]))
            return false;
    return true;
}

/* The node's bound, raised by cuts at the first node; INT64_MIN when the library found no optimum. *whole: its solution
 * was taken. */
static int64_t bound_node(struct integer_search *search, bool first, bool *whole) {
    int64_t bound = INT64_MIN;
    for (int round = 0;; round++) {
        if (!solve_relaxed(search))
            return bound;
        int64_t now = safe_bound(search);
        bound = now > bound ? now : bound;
        *whole = bound < search->target && dummies_used(search) < 1e-6 && take_whole(search);
        if (bound >= search->target || *whole || !first)
            return bound;
        rule_out(search);
        if (round == CUT_ROUNDS || watch_over(search->watch, 1) || integer_cut(search) == 0)
            break;
    }
    if (search->cut_count > 0 && !search->watch->over) {
        search->no_memory = search->no_memory || !keep_priced_cuts(search);
        if (search->no_memory || !solve_relaxed(search))
            *whole = true;
    }
    return bound;
}

static void visit(struct integer_search *search, const struct integer_node *node) {
    struct integer_limit limit;
    bool whole = false;
    if (!set_limits(search, node))
        return;
    int64_t bound = bound_node(search, node->limit_count == 0, &whole);
    bound = bound > node->bound ? bound : node->bound;
    if (bound >= search->target)
        return;
    if (whole || watch_over(search->watch, 1) || !integer_branch(search, &limit)) {
        give_up(search, bound);
        return;
    }
    struct integer_limit other = limit;
    other.least = !limit.least;
    other.number += limit.least ? -1 : 1;
    push(search, node, &other, bound);
    push(search, node, &limit, bound);
    search->deeper = true;
}

/* Down while it goes down; then where the bound is least. */
static struct integer_node *take_next(struct integer_search *search) {
    struct integer_node **least = &search->top;
    for (struct integer_node **at = &search->top; !search->deeper && *at != NULL; at = &(*at)->below)
        if ((*at)->bound < (*least)->bound)
            least = at;
    struct integer_node *node = *least;
    *least = node->below;
    search->bytes -= node_bytes(node);
    return node;
}

/* What the program takes, the library's own copies as far as they are known (see master_bytes). */
enum { ROW_BYTES = 2000, COLUMN_BYTES = 600, ENTRY_BYTES = 80 };

static size_t program_bytes(const struct integer_program *program) {
    return program->row_count * ROW_BYTES + program->column_count * COLUMN_BYTES +
           program->entry_count * ENTRY_BYTES;
}

bool integer_solve(const struct integer_program *program, int64_t target, int64_t floor, int64_t step,
                   struct watch *watch, struct integer_answer *answer) {
    struct integer_search search = {.program = program,
                                    .room = program_bytes(program),
                                    .watch = watch,
                                    .answer = answer,
                                    .target = target,
                                    .step = step,
                                    .unresolved = target};
    *answer = (struct integer_answer){.bound = floor};
    if (!program->no_memory && !watch_room(watch, search.room))
        return true;
    bool fine = !program->no_memory && search_make(&search);
    if (fine)
        push(&search, NULL, NULL, floor);
    while (fine && search.top != NULL && !search.no_memory && search.target > floor &&
           !watch_over(watch, 1)) {
        struct integer_node *node = take_next(&search);
        search.deeper = false;
        if (node->bound < search.target)
            visit(&search, node);
        free(node);
    }
    for (const struct integer_node *node = search.top; node != NULL; node = node->below)
        give_up(&search, node->bound);
    answer->bound = search.unresolved < search.target ? search.unresolved : search.target;
    fine = fine && !search.no_memory;
    search_free(&search);
    if (!fine)
        integer_answer_free(answer);
    return fine;
}
