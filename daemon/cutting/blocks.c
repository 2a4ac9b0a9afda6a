/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/blocks.h"

#include <stdlib.h>

struct sorting {
    const struct cutting_problem *problem;
    const struct cutting_plan *plan;
};

static int longest_first(const void *left, const void *right, void *data) {
    const struct cutting_piece *pieces = data;
    uint32_t a = *(const uint32_t *)left, b = *(const uint32_t *)right;
    if (pieces[a].length != pieces[b].length)
        return pieces[a].length > pieces[b].length ? -1 : 1;
    return (a > b) - (a < b);
}

/* Equal for runs of one block. */
static int compare(const struct sorting *sorting, size_t left, size_t right) {
    const struct cutting_plan *plan = sorting->plan;
    const struct cutting_run *a = &plan->runs[left], *b = &plan->runs[right];
    const struct cutting_bar *one = &sorting->problem->bars[a->bar], *other = &sorting->problem->bars[b->bar];
    if (one->length != other->length)
        return one->length > other->length ? -1 : 1;
    if (one->squared != other->squared)
        return one->squared ? -1 : 1;
    if (a->piece_count != b->piece_count)
        return a->piece_count < b->piece_count ? -1 : 1;
    for (size_t i = 0; i < a->piece_count; i++) {
        ell_length mine = sorting->problem->pieces[plan->pieces[a->first + i]].length;
        ell_length its = sorting->problem->pieces[plan->pieces[b->first + i]].length;
        if (mine != its)
            return mine > its ? -1 : 1;
    }
    return 0;
}

static int by_block(const void *left, const void *right, void *data) {
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    int order = compare(data, a, b);
    return order != 0 ? order : (a > b) - (a < b);
}

bool blocks_find(const struct cutting_problem *problem, struct cutting_plan *plan, size_t *block,
                 size_t *count) {
    struct sorting sorting = {problem, plan};
    size_t *order = malloc((plan->run_count + 1) * sizeof *order);
    *count = 0;
    if (order == NULL)
        return false;
    for (size_t r = 0; r < plan->run_count; r++) {
        order[r] = r;
        qsort_r(plan->pieces + plan->runs[r].first, plan->runs[r].piece_count, sizeof *plan->pieces,
                longest_first, problem->pieces);
    }
    qsort_r(order, plan->run_count, sizeof *order, by_block, &sorting);
    for (size_t i = 0; i < plan->run_count; i++) {
        *count += i == 0 || compare(&sorting, order[i - 1], order[i]) != 0;
        block[order[i]] = *count - 1;
    }
    free(order);
    return true;
}
