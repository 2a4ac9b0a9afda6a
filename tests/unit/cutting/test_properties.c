/* What must hold between problems that differ in one thing. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

enum { FIRST = 900, COUNT = 40 };

static bool proven(const json_t *plan) {
    return json_is_true(json_object_get(plan, "proven"));
}

/* Two tracks that may be joined at either of two places. */
static void add_joins(json_t *problem) {
    json_t *pieces = json_object_get(problem, "pieces"), *joins = json_array();
    for (int i = 0; i < 2; i++) {
        char left[16], right[16];
        snprintf(left, sizeof left, "J%da", i);
        snprintf(right, sizeof right, "J%db", i);
        json_array_append_new(
            pieces, json_pack("{s:s, s:i, s:i}", "name", left, "length", 1500 + 100 * i, "quantity", 1));
        json_array_append_new(pieces,
                              json_pack("{s:s, s:i, s:i}", "name", right, "length", 900, "quantity", 1));
        json_array_append_new(joins, json_pack("{s:[s, s], s:[[i, i], [i, i]]}", "pieces", left, right,
                                               "alternatives", 1500 + 100 * i, 900, 1200 + 100 * i, 1200));
    }
    json_object_set_new(problem, "joins", joins);
}

/* Every second one with couples and batches, some of them sawn several at once, some with joins; short stock comes of the
 * seed. */
static json_t *named(char what[32], uint64_t seed) {
    static const char *const batches[] = {"red", "green", "blue"};
    json_t *problem = random_problem(seed, seed % 2 == 0 ? 9 : 6), *item;
    uint64_t state = seed * 31 + 7;
    size_t at;
    snprintf(what, 32, "seed %lu", (unsigned long)seed);
    if (seed % 2 == 0)
        return problem;
    json_object_set_new(problem, "gang", json_integer(pick(&state, 1, 3)));
    json_array_foreach(json_object_get(problem, "bars"), at, item)
        json_object_set_new(item, "batch", json_string(batches[pick(&state, 0, 2)]));
    json_array_foreach(json_object_get(problem, "pieces"), at, item) {
        char name[32];
        snprintf(name, sizeof name, "couple %zu", at / 2);
        if (pick(&state, 0, 3) > 0)
            json_object_set_new(item, "batch_match", json_string(name));
    }
    if (seed % 8 == 1)
        add_joins(problem);
    return problem;
}

static bool joined(const json_t *problem) {
    return json_object_get(problem, "joins") != NULL;
}

static bool whole(const json_t *plan) {
    return json_array_size(json_object_get(plan, "unmet")) == 0;
}

/* The rate of a remainder's worth hangs on the bars, so the offcut that is added leaves it alone: one is unlimited. */
Test(properties, more_stock_never_costs_more) {
    int compared = 0;
    for (uint64_t seed = FIRST; seed < FIRST + COUNT; seed++) {
        char what[32];
        json_t *problem = named(what, seed), *bars = json_object_get(problem, "bars");
        if (json_is_integer(json_object_get(json_array_get(bars, 0), "quantity"))) {
            json_decref(problem);
            continue;
        }
        json_t *less = solved(problem, 0, what);
        json_array_append_new(bars,
                              json_pack("{s:s, s:f, s:i}", "name", "extra", "length", 2345.6, "quantity", 2));
        json_t *more = solved(problem, 0, what);
        cr_assert(joined(problem) || (proven(less) && proven(more)), "%s: both proven", what);
        cr_assert(whole(more) || !whole(less), "%s: nothing is left out for more stock", what);
        if (whole(less) && proven(more))
            cr_assert_leq(number(more, "cost"), number(less, "cost") + 1e-9, "%s: more stock", what);
        compared += whole(less) && proven(more);
        json_decref(less);
        json_decref(more);
        json_decref(problem);
    }
    cr_assert_gt(compared, COUNT / 2, "enough problems: %d", compared);
}

Test(properties, splitting_a_line_changes_nothing) {
    for (uint64_t seed = FIRST; seed < FIRST + COUNT; seed++) {
        char what[32];
        json_t *problem = named(what, seed), *item;
        json_object_del(problem, "joins"); /* these name single pieces */
        json_t *unsplit = solved(problem, 0, what);
        json_t *pieces = json_object_get(problem, "pieces"), *split = json_array();
        size_t at;
        json_array_foreach(pieces, at, item) {
            json_int_t quantity = json_integer_value(json_object_get(item, "quantity"));
            for (json_int_t n = 0; n < quantity; n++) {
                char name[64];
                json_t *one = json_deep_copy(item);
                snprintf(name, sizeof name, "W%zu.%ld", at, (long)n);
                json_object_set_new(one, "name", json_string(name));
                json_object_set_new(one, "quantity", json_integer(1));
                json_array_append_new(split, one);
            }
        }
        json_object_set_new(problem, "pieces", split);
        json_t *parts = solved(problem, 0, what);
        if (proven(unsplit) && proven(parts))
            cr_assert_float_eq(number(unsplit, "cost"), number(parts, "cost"), 1e-6, "%s: split lines", what);
        cr_assert_eq(proven(unsplit), proven(parts), "%s: proven alike", what);
        json_decref(unsplit);
        json_decref(parts);
        json_decref(problem);
    }
}

/* A bar longer by the kerf and pieces longer by the kerf, without one: the plain problem. Without remainders, whose length
 * the kerf shortens. */
Test(properties, a_kerf_is_the_plain_problem_with_longer_pieces) {
    for (uint64_t seed = FIRST; seed < FIRST + COUNT; seed++) {
        char what[32];
        json_t *problem = named(what, seed), *item;
        size_t at;
        json_object_del(problem, "remainder");
        json_object_del(problem, "joins"); /* whose lengths stand elsewhere */
        json_object_set_new(problem, "tail_clamp", json_integer(0));
        json_object_set_new(problem, "kerf", json_integer(3));
        json_t *sawn = solved(problem, 0, what);
        json_array_foreach(json_object_get(problem, "bars"), at, item) {
            double length = json_number_value(json_object_get(item, "length"));
            if (json_object_get(item, "value") == NULL)
                json_object_set_new(item, "value", json_real(length));
            json_object_set_new(item, "length", json_real(length + 3));
        }
        json_array_foreach(json_object_get(problem, "pieces"), at, item) {
            double length = json_number_value(json_object_get(item, "length"));
            json_object_set_new(item, "length", json_real(length + 3));
        }
        json_object_set_new(problem, "kerf", json_integer(0));
        json_t *plain = solved(problem, 0, what);
        cr_assert_eq(proven(sawn), proven(plain), "%s: proven alike", what);
        if (proven(sawn))
            cr_assert_float_eq(number(sawn, "cost"), number(plain, "cost"), 1e-6, "%s: costs alike", what);
        json_decref(sawn);
        json_decref(plain);
        json_decref(problem);
    }
}

/* Whatever seed and limits, no bound is above the cost of any plan found with others. */
Test(properties, no_bound_is_above_any_plan) {
    static const int64_t works[] = {1, 300, 3000, 0};
    for (uint64_t seed = FIRST; seed < FIRST + COUNT; seed++) {
        char what[32];
        json_t *problem = named(what, seed), *plans[4];
        for (int i = 0; i < 4; i++)
            plans[i] = solved(problem, works[i], what);
        for (int i = 0; i < 4; i++)
            for (int j = 0; j < 4; j++)
                if (whole(plans[i]) && whole(plans[j]))
                    cr_assert_leq(number(plans[i], "bound"), number(plans[j], "cost") + 1e-9, "%s: %d, %d",
                                  what, i, j);
        for (int i = 0; i < 4; i++)
            json_decref(plans[i]);
        json_decref(problem);
    }
}
