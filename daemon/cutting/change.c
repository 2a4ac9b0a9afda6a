/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/change_work.h"

#include "cutting/assemble.h"
#include "cutting/batches.h"
#include "cutting/change_most.h"
#include "cutting/model.h"

#include <stdlib.h>
#include <string.h>

/* Steps of search for one trial, for all, and for the program that finds the most. */
enum { TRY_WORK = 60000, ALL_WORK = 1200000, MOST_WORK = 3000000 };

static int by_number(const void *left, const void *right) {
    uint32_t a = *(const uint32_t *)left, b = *(const uint32_t *)right;
    return (a > b) - (a < b);
}

/* The run that cuts it, without its place among the plan's pieces. */
static struct cutting_run run_of(const struct cutting_problem *problem, const struct change_held *held) {
    const struct cutting_bar *bar = &problem->bars[held->bar];
    size_t count = held->earlier->piece_count;
    struct cutting_run run = {.bar = held->bar, .count = 1, .piece_count = count};
    run.account =
        kerf_settle(&problem->saw, bar->length, bar->squared,
                    change_length_of(problem, change_pieces_of(problem, held), count), (int64_t)count);
    return run;
}

/* What is left to plan beside the bars that are kept; their cost in *cost. */
static bool make_rest(const struct change_work *work, struct cutting_problem *rest, bool *returns,
                      int64_t *cost) {
    const struct cutting_problem *problem = work->problem;
    struct cutting_rate rate = cutting_worth_rate(problem);
    *rest = *problem;
    *cost = 0;
    rest->previous_count = rest->join_count = 0;
    rest->bars = malloc((problem->bar_count + 1) * sizeof *rest->bars);
    rest->pieces = malloc((problem->piece_count + 1) * sizeof *rest->pieces);
    if (rest->bars == NULL || rest->pieces == NULL)
        return false;
    memcpy(rest->bars, problem->bars, problem->bar_count * sizeof *rest->bars);
    memcpy(rest->pieces, problem->pieces, problem->piece_count * sizeof *rest->pieces);
    for (size_t i = 0; i < problem->piece_count; i++)
        rest->pieces[i].quantity = work->cut[i];
    for (size_t h = 0; h < work->count; h++) {
        const struct change_held *held = &work->held[h];
        if (!held->keep)
            continue;
        struct cutting_run run = run_of(problem, held);
        returns[h] = run.account.remainder >= problem->remainder.usable && rest->remainder.places != 0;
        *cost += problem->bars[held->bar].value;
        *cost -= returns[h] ? cutting_worth(&problem->remainder, rate, run.account.remainder) : 0;
        if (returns[h] && rest->remainder.places > 0)
            rest->remainder.places--;
        if (rest->bars[held->bar].quantity > 0)
            rest->bars[held->bar].quantity--;
        for (size_t i = 0; i < held->earlier->piece_count; i++)
            rest->pieces[change_pieces_of(problem, held)[i]].quantity--;
    }
    return true;
}

/* The kept bars before the others. */
static bool join_runs(const struct change_work *work, const bool *returns, const struct cutting_plan *rest,
                      struct cutting_plan *whole) {
    const struct cutting_problem *problem = work->problem;
    size_t runs = work->count + rest->run_count, pieces = rest->piece_count;
    for (size_t h = 0; h < work->count; h++)
        pieces += work->held[h].keep ? work->held[h].earlier->piece_count : 0;
    *whole = (struct cutting_plan){.runs = malloc((runs + 1) * sizeof *whole->runs),
                                   .pieces = malloc((pieces + 1) * sizeof *whole->pieces)};
    if (whole->runs == NULL || whole->pieces == NULL)
        return false;
    for (size_t h = 0; h < work->count; h++) {
        const struct change_held *held = &work->held[h];
        if (!held->keep)
            continue;
        struct cutting_run run = run_of(problem, held);
        run.first = whole->piece_count;
        run.returns = returns[h];
        memcpy(whole->pieces + run.first, change_pieces_of(problem, held),
               run.piece_count * sizeof *whole->pieces);
        whole->piece_count += run.piece_count;
        whole->runs[whole->run_count++] = run;
    }
    for (size_t r = 0; r < rest->run_count; r++) {
        struct cutting_run run = rest->runs[r];
        memcpy(whole->pieces + whole->piece_count, rest->pieces + run.first,
               run.piece_count * sizeof *whole->pieces);
        run.first = whole->piece_count;
        whole->piece_count += run.piece_count;
        whole->runs[whole->run_count++] = run;
    }
    return true;
}

static bool batches_match(const struct change_work *work, const struct cutting_plan *whole) {
    struct batches batches;
    bool fine = batches_make(work->problem, work->cut, &batches);
    bool kept = fine && batches_kept(&batches, whole);
    batches_free(&batches);
    return kept;
}

static bool take(struct change_work *work, const bool *returns, const struct cutting_plan *rest,
                 int64_t cost) {
    struct cutting_plan whole;
    bool taken = false;
    if (!join_runs(work, returns, rest, &whole))
        work->failed = !fault_memory(work->fault);
    else if (batches_match(work, &whole)) {
        struct cutting_plan *plan = work->plan;
        free(plan->runs);
        free(plan->pieces);
        plan->runs = whole.runs;
        plan->run_count = whole.run_count;
        plan->pieces = whole.pieces;
        plan->piece_count = whole.piece_count;
        plan->cost = cost;
        return true;
    }
    free(whole.runs);
    free(whole.pieces);
    return taken;
}

static struct change_item item_of(const struct cutting_problem *problem, const struct change_held *held) {
    return (struct change_item){.bar = held->bar,
                                .named = held->earlier->bar != SIZE_MAX,
                                .pieces = change_pieces_of(problem, held),
                                .piece_count = held->earlier->piece_count,
                                .count = 1};
}

static bool same_pieces(const uint32_t *one, const uint32_t *other, size_t count) {
    return memcmp(one, other, count * sizeof *one) == 0;
}

/* How many of the earlier bars the plan cuts, whether it was made to or not. Sorts the pieces of bars for it. */
static int64_t count_kept(const struct change_work *work) {
    const struct cutting_problem *problem = work->problem;
    const struct cutting_plan *plan = work->plan;
    int64_t kept = 0, *left = malloc((plan->run_count + 1) * sizeof *left);
    uint32_t *sorted = malloc((plan->piece_count + 1) * sizeof *sorted), own[CUTTING_PER_BAR_MOST];
    for (size_t r = 0; left != NULL && sorted != NULL && r < plan->run_count; r++) {
        const struct cutting_run *run = &plan->runs[r];
        left[r] = run->count;
        memcpy(sorted + run->first, plan->pieces + run->first, run->piece_count * sizeof *sorted);
        qsort(sorted + run->first, run->piece_count, sizeof *sorted, by_number);
    }
    for (size_t h = 0; left != NULL && sorted != NULL && h < work->count; h++) {
        const struct change_held *held = &work->held[h];
        size_t count = held->earlier->piece_count;
        if (held->bar == SIZE_MAX)
            continue;
        struct change_item item = item_of(problem, held);
        memcpy(own, change_pieces_of(problem, held), count * sizeof *own);
        qsort(own, count, sizeof *own, by_number);
        for (size_t r = 0; r < plan->run_count; r++) {
            const struct cutting_run *run = &plan->runs[r];
            if (left[r] == 0 || run->piece_count != count || !change_meets(problem, &item, run->bar) ||
                !same_pieces(own, sorted + run->first, count))
                continue;
            left[r]--;
            kept++;
            break;
        }
    }
    free(left);
    free(sorted);
    return kept;
}

static int64_t wanted_kept(const struct change_work *work) {
    int64_t count = 0;
    for (size_t h = 0; h < work->count; h++)
        count += work->held[h].keep;
    return count;
}

/* Whether the bars that are kept now can be, at no more cost; then the plan does so. */
static bool try_kept(struct change_work *work) {
    struct cutting_problem rest = {.bars = NULL};
    struct cutting_options options;
    struct cutting_plan plan = {0};
    struct watch part;
    int64_t cost;
    bool taken = false, *returns = calloc(work->count + 1, sizeof *returns);
    work->refuted = false;
    if (work->failed || work->watch->work >= work->until || watch_over(work->watch, 1)) {
        free(returns);
        return false;
    }
    if (!change_there_for_all(work)) {
        work->refuted = !work->failed;
        free(returns);
        return false;
    }
    bool fine = returns != NULL && make_rest(work, &rest, returns, &cost);
    if (fine) {
        watch_part(work->watch, TRY_WORK, &options, &part);
        fine = work->solve(&rest, &part, &plan, work->fault);
        work->failed = !fine;
        watch_end_part(work->watch, &part);
        /* What keeps no more than the plan does already is known to go, and left. */
        if (fine && plan.unmet_count == 0 && cost + plan.cost <= work->plan->cost)
            taken = wanted_kept(work) <= count_kept(work) || take(work, returns, &plan, cost + plan.cost);
        work->refuted = fine && !taken && plan.unmet_count == 0 && work->problem->remainder.places < 0 &&
                        cost + plan.bound > work->plan->cost;
        cutting_plan_free(&plan);
    } else {
        work->failed = !fault_memory(work->fault);
    }
    free(rest.bars);
    free(rest.pieces);
    free(returns);
    return taken;
}

/* Adds the bars from `first` on, `count` of them, as far as that goes: all, or each half by itself. */
static void add(struct change_work *work, size_t first, size_t count, bool known_not) {
    bool any = false;
    for (size_t h = first; !known_not && h < first + count; h++) {
        work->held[h].keep = work->held[h].bar != SIZE_MAX;
        any = any || work->held[h].keep;
    }
    if (!known_not && (!any || try_kept(work)))
        return;
    for (size_t h = first; h < first + count; h++)
        work->held[h].keep = false;
    if (count < 2 || work->failed || work->watch->over)
        return;
    add(work, first, count / 2, false);
    add(work, first + count / 2, count - count / 2, false);
}

/* Bars that can be kept, alike ones as one item; the item of each in item_at. Returns how many items. */
static size_t list_items(const struct change_work *work, struct change_item *items, size_t *item_at) {
    size_t count = 0;
    for (size_t h = 0; h < work->count; h++) {
        const struct change_held *held = &work->held[h];
        if (held->bar == SIZE_MAX)
            continue;
        bool again = count > 0 && items[count - 1].bar == held->bar &&
                     items[count - 1].pieces == change_pieces_of(work->problem, held);
        if (again)
            items[count - 1].count++;
        else
            items[count++] = item_of(work->problem, held);
        item_at[h] = count - 1;
    }
    return count;
}

/* Another line of the same kind that has a bar left; `line` itself where it has. */
static size_t line_left(const struct cutting_problem *problem, size_t line, const int64_t *bars) {
    const struct cutting_bar *wanted = &problem->bars[line];
    for (size_t i = 0; bars[line] == 0 && i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        if (bars[i] != 0 && bar->length == wanted->length && bar->value == wanted->value &&
            bar->squared == wanted->squared)
            return i;
    }
    return line;
}

/* Marks the bars that these cuts keep, with the lines that give them. False when a line is wanted more often than it is
 * there, or for want of memory. */
static bool mark_kept(struct change_work *work, const struct change_most *most, const size_t *item_at) {
    int64_t *bars = malloc((work->problem->bar_count + 1) * sizeof *bars);
    for (size_t i = 0; bars != NULL && i < work->problem->bar_count; i++)
        bars[i] = work->problem->bars[i].quantity;
    for (size_t h = 0; h < work->count; h++)
        work->held[h].keep = false;
    for (size_t c = 0; bars != NULL && c < most->cut_count; c++) {
        const struct change_cut *cut = &most->cuts[c];
        int64_t left = cut->item != SIZE_MAX ? cut->count : 0;
        for (size_t h = 0; h < work->count && left > 0; h++) {
            struct change_held *held = &work->held[h];
            if (held->bar == SIZE_MAX || held->keep || item_at[h] != cut->item)
                continue;
            held->keep = true;
            held->bar = line_left(work->problem, cut->bar, bars);
            bars[held->bar] -= bars[held->bar] > 0;
            left--;
        }
    }
    bool known = bars != NULL;
    free(bars);
    return known && change_there_for_all(work);
}

static size_t class_of(const struct model *model, const struct cutting_bar *bar) {
    int64_t capacity = kerf_capacity(&model->problem->saw, bar->length, bar->squared);
    bool limited = bar->quantity != CUTTING_UNLIMITED;
    for (size_t s = 0; s < model->stock_count; s++)
        if (model->stocks[s].capacity == capacity && model->stocks[s].cost == bar->value &&
            (model->stocks[s].supply != CUTTING_UNLIMITED) == limited)
            return s;
    return SIZE_MAX;
}

/* The bars beside those that are kept. False where the model of what is left has no such class or type. */
static bool lay_out_rest(const struct cutting_problem *problem, const struct model *model,
                         const struct change_most *most, struct layout *layout) {
    struct layout_part *parts = malloc((model->type_count + most->width_count + 1) * sizeof *parts);
    bool fine = parts != NULL;
    for (size_t c = 0; fine && c < most->cut_count; c++) {
        const struct change_cut *cut = &most->cuts[c];
        size_t stock = cut->item == SIZE_MAX ? class_of(model, &problem->bars[cut->bar]) : 0, count = 0;
        int64_t fill = 0;
        int32_t type = 0;
        if (cut->item != SIZE_MAX)
            continue;
        for (size_t i = 0; i < cut->width_count; i++) {
            int64_t width = most->widths[cut->first + i];
            while ((size_t)type < model->type_count && model->types[type].width != width)
                type++;
            if (count == 0 || parts[count - 1].type != type)
                parts[count++] = (struct layout_part){type, 0};
            parts[count - 1].count++;
            fill += width;
        }
        fine = stock != SIZE_MAX && (size_t)type < model->type_count;
        if (fine)
            layout_add(layout, (int32_t)stock, cut->count, fill, parts, count);
    }
    if (fine)
        layout_settle(model, layout);
    free(parts);
    return fine && !layout->no_memory;
}

/* Makes the plan of these cuts. */
static void take_most(struct change_work *work, const struct change_most *most) {
    struct cutting_problem rest = {.bars = NULL};
    struct cutting_plan plan = {0};
    struct model model = {0};
    struct layout layout = {0};
    int64_t cost;
    bool *returns = calloc(work->count + 1, sizeof *returns);
    int64_t *demand = calloc(work->problem->piece_count + 1, sizeof *demand);
    bool fine = returns != NULL && demand != NULL && make_rest(work, &rest, returns, &cost);
    for (size_t i = 0; fine && i < rest.piece_count; i++)
        demand[i] = rest.pieces[i].quantity;
    fine = fine && model_make(&rest, &(struct model_wish){.demand = demand}, &model, work->fault);
    work->failed = work->failed || !fine;
    if (fine && lay_out_rest(work->problem, &model, most, &layout)) {
        work->failed = !assemble_plan(&model, &layout, &plan, work->fault);
        if (!work->failed && cost + plan.cost <= work->plan->cost)
            take(work, returns, &plan, cost + plan.cost);
    }
    cutting_plan_free(&plan);
    layout_free(&layout);
    model_free(&model);
    free(rest.bars);
    free(rest.pieces);
    free(returns);
    free(demand);
}

/* The most that can be kept, as far as a program in whole numbers tells; *bound: no plan of this cost keeps more. */
static bool keep_most(struct change_work *work, int64_t *bound) {
    struct change_item *items = calloc(work->count + 1, sizeof *items);
    size_t *item_at = calloc(work->count + 1, sizeof *item_at);
    size_t *lines = calloc(work->count + 1, sizeof *lines);
    struct cutting_options options;
    struct watch part;
    struct change_most most = {.bound = INT64_MAX};
    bool fine = (items != NULL && item_at != NULL && lines != NULL) || fault_memory(work->fault);
    if (fine) {
        watch_part(work->watch, MOST_WORK, &options, &part);
        size_t count = list_items(work, items, item_at);
        fine = change_most_search(work->problem, work->cut, items, count, work->plan->cost, count_kept(work),
                                  &part, &most, work->fault);
        watch_end_part(work->watch, &part);
    }
    for (size_t h = 0; fine && h < work->count; h++)
        lines[h] = work->held[h].bar;
    if (fine && most.found && mark_kept(work, &most, item_at))
        take_most(work, &most);
    for (size_t h = 0; fine && h < work->count; h++)
        work->held[h].bar = lines[h];
    *bound = fine && most.bound < *bound ? most.bound : *bound;
    change_most_free(&most);
    free(items);
    free(item_at);
    free(lines);
    work->failed = work->failed || !fine;
    return fine;
}

/* All where that costs nothing; else what the program finds; else ever smaller parts. */
static void keep_some(struct change_work *work) {
    struct cutting_change *change = &work->plan->change;
    change->bound = change->possible;
    for (size_t h = 0; h < work->count; h++)
        work->held[h].keep = work->held[h].bar != SIZE_MAX;
    if (try_kept(work))
        return;
    change->bound -= work->refuted;
    bool programmed =
        work->problem->remainder.places == CUTTING_UNLIMITED && !work->failed && !watch_over(work->watch, 1);
    if (programmed && (!keep_most(work, &change->bound) || count_kept(work) >= change->bound))
        return;
    add(work, 0, work->count, true);
}

static void count_effort(const struct change_work *work) {
    struct cutting_plan *plan = work->plan;
    plan->after.returned = 0;
    for (size_t r = 0; r < plan->run_count; r++)
        plan->after.returned += plan->runs[r].returns ? plan->runs[r].count : 0;
}

bool change_least(const struct cutting_problem *problem, change_solve *solve, struct watch *watch,
                  struct cutting_plan *plan, struct fault *fault) {
    struct change_work work = {.problem = problem,
                               .solve = solve,
                               .watch = watch,
                               .plan = plan,
                               .fault = fault,
                               .until = watch->work + ALL_WORK,
                               .cut = calloc(problem->piece_count + 1, sizeof *work.cut)};
    plan->change = (struct cutting_change){0};
    for (size_t r = 0; work.cut != NULL && r < plan->run_count; r++)
        for (size_t p = 0; p < plan->runs[r].piece_count; p++)
            work.cut[plan->pieces[plan->runs[r].first + p]] += plan->runs[r].count;
    bool fine = (work.cut != NULL && change_gather(&work)) || fault_memory(fault);
    if (fine && plan->change.possible > 0) {
        keep_some(&work);
        fine = !work.failed;
    }
    if (fine) {
        plan->has_change = true;
        plan->change.earlier = (int64_t)work.count;
        plan->change.kept = count_kept(&work);
        if (plan->change.bound < plan->change.kept)
            plan->change.bound = plan->change.kept;
        count_effort(&work);
    }
    free(work.cut);
    free(work.held);
    return fine;
}
