/* Plans made anew change as little as they can. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

enum { WORK = 200000 };

static int64_t change_of(const json_t *plan, const char *field) {
    return json_integer_value(json_object_get(json_object_get(plan, "change"), field));
}

/* The bars of a plan as earlier bars of another problem. */
static json_t *earlier_bars(const json_t *plan) {
    json_t *list = json_array(), *run;
    size_t at;
    json_array_foreach(json_object_get(plan, "bars"), at, run) json_array_append_new(
        list, json_pack("{s:O, s:O, s:O}", "bar", json_object_get(run, "bar"), "count",
                        json_object_get(run, "count"), "pieces", json_object_get(run, "pieces")));
    return list;
}

/* By hand: 40+60, 50+50 and 30+70 fill three bars of 100; so do other pairs of these. The plan keeps the earlier pairs
 * whichever they were. */
Test(change, of_equal_plans_the_earlier_one_is_kept) {
    json_t *problem = parse(
        "{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":200}],\"pieces\":["
        "{\"name\":\"a\",\"length\":40},{\"name\":\"c\",\"length\":60},{\"name\":\"d\",\"length\":100},"
        "{\"name\":\"e\",\"length\":100},{\"name\":\"f\",\"length\":140},{\"name\":\"g\",\"length\":160}],"
        "\"previous\":[{\"bar\":\"b\",\"pieces\":[\"g\",\"a\"]},{\"bar\":\"b\",\"pieces\":[\"f\",\"c\"]},"
        "{\"bar\":\"b\",\"pieces\":[\"e\",\"d\"]}]}");
    json_t *plan = solved(problem, 0, "kept");
    cr_assert_eq(change_of(plan, "earlier"), 3, "three bars");
    cr_assert_eq(change_of(plan, "kept"), 3, "all are kept");
    cr_assert_float_eq(number(plan, "cost"), 600, 1e-6, "at the least cost");
    json_decref(plan);
    /* An earlier plan that wasted a bar is not kept for its own sake. */
    json_object_set_new(problem, "previous",
                        parse("[{\"bar\":\"b\",\"pieces\":[\"g\"]},{\"bar\":\"b\",\"pieces\":[\"f\"]},"
                              "{\"bar\":\"b\",\"pieces\":[\"e\",\"d\"]}]"));
    plan = solved(problem, 0, "wasteful");
    cr_assert_float_eq(number(plan, "cost"), 600, 1e-6, "still the least cost");
    cr_assert_eq(change_of(plan, "kept"), 1, "what costs nothing is kept: %ld",
                 (long)change_of(plan, "kept"));
    cr_assert_lt(change_of(plan, "bound"), 3, "and not all can be");
    json_object_set_new(json_object_get(plan, "change"), "kept", json_integer(2));
    struct fault fault;
    cr_assert_not(plan_check(problem, plan, &fault), "the checker counts them");
    json_decref(plan);
    json_decref(problem);
}

/* The last piece of a plan is mis-cut and one bar is gone: what is left is planned at the same cost as without the earlier
 * plan, and never fewer bars are kept than by chance. */
Test(change, after_a_mis_cut_and_a_missing_bar) {
    int64_t kept = 0, chance = 0, possible = 0;
    for (uint64_t seed = 30; seed < 60; seed++) {
        char what[32];
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *problem = random_problem(seed, 12), *first = solved(problem, WORK, what);
        json_t *pieces = json_object_get(problem, "pieces"), *earlier = earlier_bars(first);
        json_t *last = json_array_get(pieces, json_array_size(pieces) - 1);
        json_object_set_new(last, "quantity",
                            json_integer(json_integer_value(json_object_get(last, "quantity")) + 1));
        json_array_remove(json_object_get(problem, "bars"),
                          json_array_size(json_object_get(problem, "bars")) - 1);
        if (json_array_size(json_object_get(problem, "bars")) > 0) {
            json_t *free_plan = solved(problem, WORK, what);
            json_object_set(problem, "previous", earlier);
            json_t *plan = solved(problem, WORK, what);
            cr_assert_leq(number(plan, "cost"), number(free_plan, "cost") + 1e-6, "%s: no dearer", what);
            kept += change_of(plan, "kept");
            possible += change_of(plan, "possible");
            chance += change_of(plan, "bound");
            json_decref(plan);
            json_decref(free_plan);
        }
        json_decref(earlier);
        json_decref(first);
        json_decref(problem);
    }
    cr_assert_gt(kept, possible / 2, "%ld of %ld possible are kept", (long)kept, (long)possible);
    cr_assert_leq(kept, chance, "never more than the bound");
}
