/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/change.h"

#include "cutting/batches.h"
#include "cutting/model.h"

#include <stdlib.h>
#include <string.h>

/* Steps of search for one trial, and for all. */
enum { TRY_WORK = 60000, ALL_WORK = 1200000 };

/* One bar of the earlier plan. */
struct held {
    const struct cutting_earlier *earlier;
    size_t bar; /* the line it can still come from; SIZE_MAX: it cannot be cut as it was */
    bool keep;
};

struct changing {
    const struct cutting_problem *problem;
    change_solve *solve;
    struct watch *watch;
    struct cutting_plan *plan;
    struct fault *fault;
    int64_t *cut; /* of each line of pieces, by the plan */
    struct held *held;
    size_t count;
    int64_t until;        /* steps of the watch at which trials end */
    bool refuted, failed; /* refuted: the last trial is proven to cost more */
};

static int by_number(const void *left, const void *right) {
    uint32_t a = *(const uint32_t *)left, b = *(const uint32_t *)right;
    return (a > b) - (a < b);
}

static ell_length length_of(const struct cutting_problem *problem, const uint32_t *pieces, size_t count) {
    ell_length sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += problem->pieces[pieces[i]].length;
    return sum;
}

static const uint32_t *pieces_of(const struct cutting_problem *problem, const struct held *held) {
    return problem->previous_pieces + held->earlier->first;
}

static bool fits(const struct cutting_problem *problem, const struct held *held, size_t line) {
    const struct cutting_bar *bar = &problem->bars[line];
    size_t count = held->earlier->piece_count;
    int64_t width = length_of(problem, pieces_of(problem, held), count) + (int64_t)count * problem->saw.kerf;
    return bar->length <= problem->saw.longest_bar &&
           kerf_capacity(&problem->saw, bar->length, bar->squared) >= width;
}

/* The line that gives it: its own, or one of the same length. */
static size_t find_bar(const struct cutting_problem *problem, const struct held *held, const int64_t *bars) {
    size_t own = held->earlier->bar;
    if (own != SIZE_MAX)
        return bars[own] != 0 && fits(problem, held, own) ? own : SIZE_MAX;
    for (size_t i = 0; i < problem->bar_count; i++)
        if (problem->bars[i].length == held->earlier->length && bars[i] != 0 && fits(problem, held, i))
            return i;
    return SIZE_MAX;
}

static bool all_cut(const struct cutting_problem *problem, const struct held *held, int64_t *left) {
    const uint32_t *pieces = pieces_of(problem, held);
    size_t taken = 0;
    while (taken < held->earlier->piece_count && pieces[taken] != UINT32_MAX && left[pieces[taken]] > 0)
        left[pieces[taken++]]--;
    if (taken == held->earlier->piece_count)
        return true;
    while (taken > 0)
        left[pieces[--taken]]++;
    return false;
}

/* Finds which of the earlier bars can still be cut, given what the plan cuts and what bars there are. */
static bool gather(struct changing *work) {
    const struct cutting_problem *problem = work->problem;
    size_t total = 0;
    for (size_t i = 0; i < problem->previous_count; i++)
        total += (size_t)problem->previous[i].count;
    total = total < CUTTING_PREVIOUS_MOST ? total : CUTTING_PREVIOUS_MOST;
    int64_t *left = malloc((problem->piece_count + 1) * sizeof *left);
    int64_t *bars = malloc((problem->bar_count + 1) * sizeof *bars);
    work->held = calloc(total + 1, sizeof *work->held);
    bool fine = left != NULL && bars != NULL && work->held != NULL;
    if (fine) {
        memcpy(left, work->cut, problem->piece_count * sizeof *left);
        for (size_t i = 0; i < problem->bar_count; i++)
            bars[i] = problem->bars[i].quantity;
    }
    for (size_t i = 0; fine && i < problem->previous_count; i++)
        for (int64_t n = 0; n < problem->previous[i].count && work->count < total; n++) {
            struct held *held = &work->held[work->count++];
            *held = (struct held){&problem->previous[i], SIZE_MAX, false};
            if (!all_cut(problem, held, left))
                continue;
            held->bar = find_bar(problem, held, bars);
            if (held->bar != SIZE_MAX && bars[held->bar] > 0)
                bars[held->bar]--;
            work->plan->change.possible += held->bar != SIZE_MAX;
        }
    free(left);
    free(bars);
    return fine;
}

/* The run that cuts it, without its place among the plan's pieces. */
static struct cutting_run run_of(const struct cutting_problem *problem, const struct held *held) {
    const struct cutting_bar *bar = &problem->bars[held->bar];
    size_t count = held->earlier->piece_count;
    struct cutting_run run = {.bar = held->bar, .count = 1, .piece_count = count};
    run.account = kerf_settle(&problem->saw, bar->length, bar->squared,
                              length_of(problem, pieces_of(problem, held), count), (int64_t)count);
    return run;
}

/* What is left to plan beside the bars that are kept; their cost in *cost. */
static bool make_rest(const struct changing *work, struct cutting_problem *rest, bool *returns,
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
        const struct held *held = &work->held[h];
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
            rest->pieces[pieces_of(problem, held)[i]].quantity--;
    }
    return true;
}

/* The kept bars before the others. */
static bool join_runs(const struct changing *work, const bool *returns, const struct cutting_plan *rest,
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
        const struct held *held = &work->held[h];
        if (!held->keep)
            continue;
        struct cutting_run run = run_of(problem, held);
        run.first = whole->piece_count;
        run.returns = returns[h];
        memcpy(whole->pieces + run.first, pieces_of(problem, held), run.piece_count * sizeof *whole->pieces);
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

static bool batches_match(const struct changing *work, const struct cutting_plan *whole) {
    struct batches batches;
    bool fine = batches_make(work->problem, work->cut, &batches);
    bool kept = fine && batches_kept(&batches, whole);
    batches_free(&batches);
    return kept;
}

static bool take(struct changing *work, const bool *returns, const struct cutting_plan *rest, int64_t cost) {
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

/* Whether the bars that are kept now can be, at no more cost; then the plan does so. */
static bool try_kept(struct changing *work) {
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
    bool fine = returns != NULL && make_rest(work, &rest, returns, &cost);
    if (fine) {
        watch_part(work->watch, TRY_WORK, &options, &part);
        fine = work->solve(&rest, &part, &plan, work->fault);
        work->failed = !fine;
        watch_end_part(work->watch, &part);
        if (fine && plan.unmet_count == 0 && cost + plan.cost <= work->plan->cost)
            taken = take(work, returns, &plan, cost + plan.cost);
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
static void add(struct changing *work, size_t first, size_t count, bool known_not) {
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

/* A bar that is named is met by one of its kind, another by one of its length. */
static bool meets(const struct cutting_problem *problem, const struct held *held, size_t line) {
    const struct cutting_bar *one = &problem->bars[line], *other = &problem->bars[held->bar];
    bool alike = one->value == other->value && one->squared == other->squared;
    return one->length == other->length && (alike || held->earlier->bar == SIZE_MAX);
}

static bool same_pieces(const uint32_t *one, const uint32_t *other, size_t count) {
    return memcmp(one, other, count * sizeof *one) == 0;
}

/* How many of the earlier bars the plan cuts, whether it was made to or not. Sorts the pieces of bars for it. */
static int64_t count_kept(const struct changing *work) {
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
        const struct held *held = &work->held[h];
        size_t count = held->earlier->piece_count;
        if (held->bar == SIZE_MAX)
            continue;
        memcpy(own, pieces_of(problem, held), count * sizeof *own);
        qsort(own, count, sizeof *own, by_number);
        for (size_t r = 0; r < plan->run_count; r++) {
            const struct cutting_run *run = &plan->runs[r];
            if (left[r] == 0 || run->piece_count != count || !meets(problem, held, run->bar) ||
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

static void count_effort(const struct changing *work) {
    struct cutting_plan *plan = work->plan;
    plan->after.returned = 0;
    for (size_t r = 0; r < plan->run_count; r++)
        plan->after.returned += plan->runs[r].returns ? plan->runs[r].count : 0;
}

bool change_least(const struct cutting_problem *problem, change_solve *solve, struct watch *watch,
                  struct cutting_plan *plan, struct fault *fault) {
    struct changing work = {.problem = problem,
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
    bool fine = (work.cut != NULL && gather(&work)) || fault_memory(fault);
    if (fine && plan->change.possible > 0) {
        bool not_all = false;
        for (size_t h = 0; h < work.count; h++)
            work.held[h].keep = work.held[h].bar != SIZE_MAX;
        if (!try_kept(&work)) {
            not_all = work.refuted;
            add(&work, 0, work.count, true);
        }
        plan->change.bound = plan->change.possible - not_all;
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
