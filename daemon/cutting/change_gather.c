/* Which earlier bars can still be cut. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/change_work.h"

#include <stdlib.h>

ell_length change_length_of(const struct cutting_problem *problem, const uint32_t *pieces, size_t count) {
    ell_length sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += problem->pieces[pieces[i]].length;
    return sum;
}

static bool fits(const struct cutting_problem *problem, const struct change_held *held, size_t line) {
    const struct cutting_bar *bar = &problem->bars[line];
    size_t count = held->earlier->piece_count;
    int64_t width = change_length_of(problem, change_pieces_of(problem, held), count) +
                    (int64_t)count * problem->saw.kerf;
    return bar->length <= problem->saw.longest_bar &&
           kerf_capacity(&problem->saw, bar->length, bar->squared) >= width;
}

/* The line that gives it: its own, or one of the same length. */
static size_t find_bar(const struct cutting_problem *problem, const struct change_held *held,
                       const int64_t *bars) {
    size_t own = held->earlier->bar;
    if (own != SIZE_MAX)
        return bars[own] != 0 && fits(problem, held, own) ? own : SIZE_MAX;
    for (size_t i = 0; i < problem->bar_count; i++)
        if (problem->bars[i].length == held->earlier->length && bars[i] != 0 && fits(problem, held, i))
            return i;
    return SIZE_MAX;
}

static bool all_cut(const struct cutting_problem *problem, const struct change_held *held, int64_t *left) {
    const uint32_t *pieces = change_pieces_of(problem, held);
    size_t taken = 0;
    while (taken < held->earlier->piece_count && pieces[taken] != UINT32_MAX && left[pieces[taken]] > 0)
        left[pieces[taken++]]--;
    if (taken == held->earlier->piece_count)
        return true;
    while (taken > 0)
        left[pieces[--taken]]++;
    return false;
}

/* The same with none of the lines' pieces and bars taken by another. */
static size_t find_bar_alone(const struct change_work *work, const struct change_held *held, int64_t *left,
                             const int64_t *bars) {
    const struct cutting_problem *problem = work->problem;
    if (!all_cut(problem, held, left))
        return SIZE_MAX;
    for (size_t i = 0; i < held->earlier->piece_count; i++)
        left[change_pieces_of(problem, held)[i]]++;
    return find_bar(problem, held, bars);
}

bool change_gather(struct change_work *work) {
    const struct cutting_problem *problem = work->problem;
    size_t total = 0;
    for (size_t i = 0; i < problem->previous_count; i++)
        total += (size_t)problem->previous[i].count;
    total = total < CUTTING_PREVIOUS_MOST ? total : CUTTING_PREVIOUS_MOST;
    int64_t *left = malloc((problem->piece_count + 1) * sizeof *left);
    int64_t *all = malloc((problem->piece_count + 1) * sizeof *all);
    int64_t *bars = malloc((problem->bar_count + 1) * sizeof *bars);
    int64_t *whole = malloc((problem->bar_count + 1) * sizeof *whole);
    work->held = calloc(total + 1, sizeof *work->held);
    bool fine = left != NULL && all != NULL && bars != NULL && whole != NULL && work->held != NULL;
    for (size_t i = 0; fine && i < problem->piece_count; i++)
        left[i] = all[i] = work->cut[i];
    for (size_t i = 0; fine && i < problem->bar_count; i++)
        bars[i] = whole[i] = problem->bars[i].quantity;
    for (size_t i = 0; fine && i < problem->previous_count; i++)
        for (int64_t n = 0; n < problem->previous[i].count && work->count < total; n++) {
            struct change_held *held = &work->held[work->count++];
            *held = (struct change_held){&problem->previous[i], SIZE_MAX, false};
            if (all_cut(problem, held, left))
                held->bar = find_bar(problem, held, bars);
            if (held->bar != SIZE_MAX && bars[held->bar] > 0)
                bars[held->bar]--;
            if (held->bar == SIZE_MAX)
                held->bar = find_bar_alone(work, held, all, whole);
            work->plan->change.possible += held->bar != SIZE_MAX;
        }
    free(left);
    free(all);
    free(bars);
    free(whole);
    return fine;
}

bool change_there_for_all(struct change_work *work) {
    const struct cutting_problem *problem = work->problem;
    int64_t *left = malloc((problem->piece_count + 1) * sizeof *left);
    int64_t *bars = malloc((problem->bar_count + 1) * sizeof *bars);
    bool fine = left != NULL && bars != NULL;
    work->failed = work->failed || (!fine && !fault_memory(work->fault));
    for (size_t i = 0; fine && i < problem->piece_count; i++)
        left[i] = work->cut[i];
    for (size_t i = 0; fine && i < problem->bar_count; i++)
        bars[i] = problem->bars[i].quantity;
    for (size_t h = 0; fine && h < work->count; h++) {
        const struct change_held *held = &work->held[h];
        if (!held->keep)
            continue;
        fine = bars[held->bar] != 0 && all_cut(problem, held, left);
        if (fine && bars[held->bar] > 0)
            bars[held->bar]--;
    }
    free(left);
    free(bars);
    return fine;
}
