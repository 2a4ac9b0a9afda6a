/* Where a track may be joined, with few choices: each one is solved by itself here. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <math.h>
#include <string.h>

enum { JOINS = 3, WAYS = 3 };

/* Adds up to JOINS joins to the random problem, of pairs of its pieces; returns how many. */
static size_t add_joins(json_t *problem, double lengths[JOINS][WAYS][2]) {
    json_t *pieces = json_object_get(problem, "pieces"), *joins = json_array();
    size_t count = 0;
    for (size_t i = 0; i + 1 < json_array_size(pieces) && count < JOINS; i += 2, count++) {
        json_t *one = json_array_get(pieces, i), *other = json_array_get(pieces, i + 1), *ways = json_array();
        double a = json_number_value(json_object_get(one, "length"));
        double b = json_number_value(json_object_get(other, "length"));
        double half = floor((a + b) / 2), rest = round((a + b - half) * 10) / 10;
        const double found[WAYS][2] = {{a, b}, {half, rest}, {b, a}};
        memcpy(lengths[count], found, sizeof found);
        json_object_set_new(one, "quantity", json_integer(1));
        json_object_set_new(other, "quantity", json_integer(1));
        for (int way = 0; way < WAYS; way++)
            json_array_append_new(ways, json_pack("[f, f]", found[way][0], found[way][1]));
        json_array_append_new(
            joins, json_pack("{s:[s, s], s:o}", "pieces", json_string_value(json_object_get(one, "name")),
                             json_string_value(json_object_get(other, "name")), "alternatives", ways));
    }
    json_object_set_new(problem, "joins", joins);
    return count;
}

/* The least cost of any choice, each solved without a choice; negative when one could not be proven or leaves pieces out. */
static double least_alone(const json_t *problem, size_t joins, double lengths[JOINS][WAYS][2],
                          const char *what) {
    double least = HUGE_VAL;
    size_t choices = joins == 3 ? 27 : joins == 2 ? 9 : 3;
    for (size_t choice = 0; choice < choices; choice++) {
        json_t *alone = json_deep_copy(problem);
        json_object_del(alone, "joins");
        for (size_t g = 0, rest = choice; g < joins; g++, rest /= WAYS)
            for (size_t i = 0; i < 2; i++)
                json_object_set_new(json_array_get(json_object_get(alone, "pieces"), 2 * g + i), "length",
                                    json_real(lengths[g][rest % WAYS][i]));
        json_t *plan = solved(alone, 200000, what);
        bool good = json_is_true(json_object_get(plan, "proven")) &&
                    json_array_size(json_object_get(plan, "unmet")) == 0;
        least = good ? fmin(least, number(plan, "cost")) : -HUGE_VAL;
        json_decref(plan);
        json_decref(alone);
    }
    return least;
}

Test(joins, few_choices_are_proven_and_none_alone_is_cheaper) {
    int compared = 0, searched = 0;
    for (uint64_t seed = 900; seed < 940; seed++) {
        char what[32];
        double lengths[JOINS][WAYS][2];
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *problem = random_problem(seed, 7);
        size_t joins = add_joins(problem, lengths);
        double least = joins > 0 ? least_alone(problem, joins, lengths, what) : -1;
        json_t *plan = solved(problem, 20000000, what);
        if (least >= 0) {
            cr_assert_float_eq(number(plan, "cost"), least, 1e-6, "%s: %g, alone %g", what,
                               number(plan, "cost"), least);
            cr_assert(json_is_true(json_object_get(plan, "proven")), "%s is proven", what);
            searched += strcmp(json_string_value(json_object_get(plan, "proof")), "search") == 0;
            compared++;
        }
        json_decref(plan);
        json_decref(problem);
    }
    cr_assert(compared >= 10 && searched >= 3, "%d compared, %d of them by every choice", compared, searched);
}
