/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/problem.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void cutting_problem_clear(struct cutting_problem *problem) {
    *problem = (struct cutting_problem){
        .saw = {.longest_bar = ELL_LENGTH_MAX},
        .gang = 1,
        .remainder = {.usable = ELL_LENGTH_MAX + 1, .places = CUTTING_UNLIMITED},
    };
}

void cutting_problem_free(struct cutting_problem *problem) {
    free(problem->bars);
    free(problem->pieces);
    free(problem->joins);
    free(problem->previous);
    free(problem->previous_pieces);
    cutting_problem_clear(problem);
}

struct cutting_rate cutting_worth_rate(const struct cutting_problem *problem) {
    struct cutting_rate rate = {0, 0};
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        bool cheaper = (__int128)bar->value * rate.length < (__int128)rate.value * bar->length;
        if (bar->quantity == CUTTING_UNLIMITED && (rate.length == 0 || cheaper))
            rate = (struct cutting_rate){bar->value, bar->length};
    }
    if (rate.length > 0)
        return rate;
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        if (bar->length > rate.length || (bar->length == rate.length && bar->value < rate.value))
            rate = (struct cutting_rate){bar->value, bar->length};
    }
    return rate;
}

int64_t cutting_worth(const struct cutting_remainder *remainder, struct cutting_rate rate,
                      ell_length length) {
    if (length < remainder->usable || rate.length == 0)
        return 0;
    int64_t above, below; /* quicker than 128 bits, and asked often */
    if (!__builtin_mul_overflow(remainder->percent * length, rate.value, &above) &&
        !__builtin_mul_overflow(rate.length, (int64_t)100, &below))
        return above / below;
    return (int64_t)((__int128)remainder->percent * length * rate.value / ((__int128)100 * rate.length));
}

static int by_name(const void *left, const void *right) {
    return strcmp(*(const char *const *)left, *(const char *const *)right);
}

/* Names are the first member of both structs, `stride` bytes apart. */
static bool names_differ(const char *first, size_t count, size_t stride, const char *list,
                         struct fault *fault) {
    const char **names = malloc((count + 1) * sizeof *names);
    if (names == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < count; i++)
        names[i] = first + i * stride;
    qsort(names, count, sizeof *names, by_name);
    bool fine = true;
    for (size_t i = 0; fine && i + 1 < count; i++)
        if (strcmp(names[i], names[i + 1]) == 0)
            fine = fault_set(
                fault, "duplicate-name", list,
                "The name \"%s\" stands twice. Give each line a name of its own, or join the two lines "
                "with their quantities added.",
                names[i]);
    free(names);
    return fine;
}

static bool within(int64_t value, int64_t least, int64_t most, const char *list, size_t index,
                   const char *name, struct fault *fault) {
    if (value >= least && value <= most)
        return true;
    char where[64];
    snprintf(where, sizeof where, "%s[%zu].%s", list, index, name);
    return fault_set(fault, "out-of-range", where, "%" PRId64 " is outside %" PRId64 " to %" PRId64 ".",
                     value, least, most);
}

static bool check_lines(const struct cutting_problem *problem, struct fault *fault) {
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        if (!within(bar->length, 1, ELL_LENGTH_MAX, "bars", i, "length", fault) ||
            !within(bar->quantity, CUTTING_UNLIMITED, CUTTING_QUANTITY_MOST, "bars", i, "quantity", fault) ||
            !within(bar->value, 0, ELL_LENGTH_MAX, "bars", i, "value", fault))
            return false;
    }
    for (size_t i = 0; i < problem->piece_count; i++) {
        const struct cutting_piece *piece = &problem->pieces[i];
        if (!within(piece->length, 1, ELL_LENGTH_MAX, "pieces", i, "length", fault) ||
            !within(piece->quantity, 1, CUTTING_QUANTITY_MOST, "pieces", i, "quantity", fault) ||
            !within(piece->priority, 0, 9, "pieces", i, "priority", fault))
            return false;
    }
    return true;
}

static bool check_joins(const struct cutting_problem *problem, struct fault *fault) {
    uint8_t *joined = calloc(problem->piece_count + 1, 1);
    if (joined == NULL)
        return fault_memory(fault);
    bool fine = true;
    for (size_t g = 0; fine && g < problem->join_count; g++)
        for (size_t i = 0; fine && i < problem->joins[g].count; i++) {
            size_t line = problem->joins[g].pieces[i];
            if (joined[line]++ || problem->pieces[line].quantity != 1)
                fine = fault_set(fault, "bad-join", problem->pieces[line].name,
                                 "A piece of a join stands in one join only and has quantity 1.");
        }
    free(joined);
    return fine;
}

static bool check_sums(const struct cutting_problem *problem, struct fault *fault) {
    int64_t pieces = 0, dearest = 0;
    ell_length longest = 0, shortest = ELL_LENGTH_MAX;
    for (size_t i = 0; i < problem->piece_count; i++) {
        pieces += problem->pieces[i].quantity;
        if (problem->pieces[i].length < shortest)
            shortest = problem->pieces[i].length;
    }
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        if (bar->length > longest && bar->length <= problem->saw.longest_bar)
            longest = bar->length;
        if (bar->value > dearest)
            dearest = bar->value;
    }
    if (dearest > 0 && pieces > CUTTING_COST_MOST / dearest)
        return fault_set(fault, "too-large", "pieces",
                         "%" PRId64 " pieces at up to %" PRId64
                         " a bar are more than can be added up exactly. Split "
                         "the list.",
                         pieces, dearest / 10);
    if (longest / (shortest + problem->saw.kerf) > CUTTING_PER_BAR_MOST)
        return fault_set(fault, "too-fine", "pieces",
                         "More than %d of the shortest piece would fit on the longest bar. Check the units.",
                         CUTTING_PER_BAR_MOST);
    return true;
}

static bool check_saw(const struct cutting_problem *problem, struct fault *fault) {
    const struct cutting_saw *saw = &problem->saw;
    const ell_length values[] = {saw->kerf, saw->lead_trim, saw->tail_clamp, saw->shortest_piece};
    const char *const names[] = {"kerf", "lead_trim", "tail_clamp", "shortest_piece"};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
        if (values[i] < 0 || values[i] > ELL_LENGTH_MAX)
            return fault_set(fault, "out-of-range", names[i], "This is below zero or beyond 100 km.");
    if (problem->remainder.percent < 0 || problem->remainder.percent > 100)
        return fault_set(fault, "out-of-range", "remainder.value_percent", "Give 0 to 100 percent.");
    return true;
}

bool cutting_problem_check(const struct cutting_problem *problem, struct fault *fault) {
    if (problem->bar_count > CUTTING_BARS_MOST || problem->piece_count > CUTTING_PIECES_MOST)
        return fault_set(fault, "too-large", "",
                         "At most %d lines of bars and %d of pieces are taken. Split the list.",
                         CUTTING_BARS_MOST, CUTTING_PIECES_MOST);
    return check_saw(problem, fault) && check_lines(problem, fault) && check_sums(problem, fault) &&
           check_joins(problem, fault) &&
           (problem->bar_count == 0 ||
            names_differ(problem->bars[0].name, problem->bar_count, sizeof *problem->bars, "bars", fault)) &&
           (problem->piece_count == 0 || names_differ(problem->pieces[0].name, problem->piece_count,
                                                      sizeof *problem->pieces, "pieces", fault));
}
