/* Whole problems: documents in, checked plans out. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <math.h>

Test(solve, random_problems_pass_the_checker) {
    for (uint64_t seed = 1; seed <= 150; seed++) {
        char what[32];
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *problem = random_problem(seed, 12);
        json_decref(solved(problem, 20000, what));
        json_decref(problem);
    }
}

/* Pieces in twos and threes that have to match, bars of few batches. */
static json_t *matched_problem(uint64_t seed) {
    static const char *const batches[] = {"red", "green", "blue"};
    json_t *problem = random_problem(seed, 10), *item;
    uint64_t state = seed;
    size_t at;
    json_array_foreach(json_object_get(problem, "bars"), at, item) {
        if (pick(&state, 0, 3) > 0)
            json_object_set_new(item, "batch", json_string(batches[pick(&state, 0, 2)]));
    }
    json_array_foreach(json_object_get(problem, "pieces"), at, item) {
        char name[16];
        snprintf(name, sizeof name, "pair %ld", (long)pick(&state, 0, 4));
        if (pick(&state, 0, 2) > 0)
            json_object_set_new(item, "batch_match", json_string(name));
    }
    return problem;
}

Test(solve, matching_pieces_come_from_one_batch) {
    int proven = 0;
    for (uint64_t seed = 500; seed < 560; seed++) {
        char what[32];
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *problem = matched_problem(seed), *plan = solved(problem, 20000, what);
        proven += json_is_true(json_object_get(plan, "proven"));
        json_decref(plan);
        json_decref(problem);
    }
    cr_assert_gt(proven, 10, "matching costs nothing in many problems: %d", proven);
}

/* By hand: two pieces of 1500 fit on two offcuts of different batches, or on one new bar together. */
Test(solve, matching_beats_the_cheaper_offcuts) {
    json_t *problem = parse("{\"kerf\":0,\"bars\":[{\"name\":\"new\",\"length\":4000},"
                            "{\"name\":\"F1\",\"length\":1500,\"quantity\":1,\"batch\":\"a\"},"
                            "{\"name\":\"F2\",\"length\":1500,\"quantity\":1,\"batch\":\"b\"}],\"pieces\":["
                            "{\"name\":\"left\",\"length\":1500,\"batch_match\":\"W1\"},"
                            "{\"name\":\"right\",\"length\":1500,\"batch_match\":\"W1\"}]}");
    json_t *plan = solved(problem, 0, "apart");
    cr_assert_float_eq(number(plan, "cost"), 4000, 1e-6, "one new bar: %g", number(plan, "cost"));
    cr_assert(json_is_true(json_object_get(plan, "proven")), "the bound knows of batches: %g",
              number(plan, "bound"));
    json_decref(plan);
    json_object_set_new(json_array_get(json_object_get(problem, "bars"), 2), "batch", json_string("a"));
    plan = solved(problem, 0, "together");
    cr_assert_float_eq(number(plan, "cost"), 3000, 1e-6, "both offcuts: %g", number(plan, "cost"));
    cr_assert(json_is_true(json_object_get(plan, "proven")), "proven");
    json_decref(plan);
    json_decref(problem);
}

Test(solve, same_input_seed_and_work_give_the_same_plan) {
    for (uint64_t seed = 300; seed < 310; seed++) {
        json_t *problem = random_problem(seed, 12);
        json_t *one = solved(problem, 20000, "first"), *other = solved(problem, 20000, "second");
        cr_assert(json_equal(one, other), "seed %lu: both plans are the same", (unsigned long)seed);
        json_decref(one);
        json_decref(other);
        json_decref(problem);
    }
}

Test(solve, two_bars_by_hand) {
    /* 4 pieces of 2995 mm, kerf 2.2, trim 10: 2 * 2995 + 2.2 + 10 > 6000, so one a bar; 2992.9 go in pairs.
     */
    json_t *problem = parse("{\"kerf\":2.2,\"lead_trim\":10,\"bars\":[{\"name\":\"six\",\"length\":6000}],"
                            "\"pieces\":[{\"name\":\"a\",\"length\":2993.9,\"quantity\":4}]}");
    json_t *plan = solved(problem, 0, "pairs");
    cr_assert_float_eq(number(plan, "cost"), 12000, 1e-6, "two to a bar, flush: %g", number(plan, "cost"));
    cr_assert(json_is_true(json_object_get(plan, "proven")), "proven");
    json_decref(plan);
    json_object_set_new(json_array_get(json_object_get(problem, "pieces"), 0), "length", json_real(2994));
    plan = solved(problem, 0, "singles");
    cr_assert_float_eq(number(plan, "cost"), 24000, 1e-6, "a tenth more: one a bar: %g",
                       number(plan, "cost"));
    json_decref(plan);
    json_decref(problem);
}

Test(solve, short_stock_cuts_the_most_urgent_and_says_what_to_buy) {
    json_t *problem =
        parse("{\"kerf\":2,\"bars\":[{\"name\":\"six\",\"length\":6000,\"quantity\":1,\"purchasable\":true}],"
              "\"pieces\":[{\"name\":\"low\",\"length\":2900,\"priority\":1},"
              "{\"name\":\"late\",\"length\":2900,\"priority\":5,\"due\":\"2026-12-24\"},"
              "{\"name\":\"soon\",\"length\":2900,\"priority\":5,\"due\":\"2026-12-01\"},"
              "{\"name\":\"long\",\"length\":7000}]}");
    json_t *plan = solved(problem, 0, "short");
    const json_t *unmet = json_object_get(plan, "unmet");
    cr_assert_eq(json_array_size(unmet), 2, "two are left out");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(unmet, 0), "piece")), "low",
                     "the least urgent");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(unmet, 1), "why")), "too-long",
                     "never possible");
    const json_t *buy = json_array_get(json_object_get(plan, "buy"), 0);
    cr_assert_eq(json_integer_value(json_object_get(buy, "count")), 1, "one bar is to be bought");
    cr_assert(json_is_true(json_object_get(plan, "proven")), "neither more nor others could be cut");
    json_decref(plan);
    json_decref(problem);
}

Test(solve, extreme_problems_get_an_answer_or_a_clear_refusal) {
    json_t *billion = parse("{\"kerf\":2.2,\"bars\":[{\"name\":\"six\",\"length\":6000}],"
                            "\"pieces\":[{\"name\":\"a\",\"length\":1830,\"quantity\":1000000000}]}");
    json_t *plan = solved(billion, 0, "10^9");
    cr_assert_float_eq(number(plan, "cost"), 6000.0 * 333333334, 1e-3, "three to a bar: %.1f",
                       number(plan, "cost"));
    json_decref(plan);
    json_decref(billion);
    static const char *const refused[][2] = {
        {"too-large",
         "{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":100000000}],\"pieces\":[{\"name\":\"a\","
         "\"length\":90000000,\"quantity\":1000000000}]}"},
        {"too-fine",
         "{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":100000000}],\"pieces\":[{\"name\":\"a\","
         "\"length\":0.1,\"quantity\":7}]}"},
        {"duplicate-name",
         "{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":6000}],\"pieces\":[{\"name\":\"a\","
         "\"length\":10},{\"name\":\"a\",\"length\":20}]}"},
        {"unknown-field",
         "{\"kerf\":0,\"blade\":1,\"bars\":[{\"name\":\"b\",\"length\":6000}],\"pieces\":[{\"name\":"
         "\"a\",\"length\":10}]}"},
        {"out-of-range", "{\"kerf\":0,\"bars\":[],\"pieces\":[{\"name\":\"a\",\"length\":10}]}"},
        {"out-of-range", "{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":1e9}],\"pieces\":[{\"name\":\"a\","
                         "\"length\":10}]}"},
    };
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        struct cutting_options options = cutting_options_default();
        struct fault fault = {0};
        json_t *problem = parse(refused[i][1]);
        cr_assert_not(cutlist_run(problem, &options, &plan, &fault), "case %zu is refused", i);
        cr_assert_null(plan, "no plan after a refusal");
        if (strcmp(fault.code, refused[i][0]) != 0 && strcmp(fault.code, "bad-length") != 0)
            cr_assert_fail("case %zu: %s instead of %s", i, fault.code, refused[i][0]);
        json_decref(problem);
    }
}

Test(solve, ten_thousand_offcuts) {
    json_t *bars = json_array(), *pieces = json_array();
    uint64_t state = 5;
    for (int i = 0; i < 10000; i++) {
        char name[16];
        snprintf(name, sizeof name, "F%d", i);
        json_array_append_new(bars, json_pack("{s:s, s:o, s:i}", "name", name, "length",
                                              document_length(pick(&state, 6000, 30000)), "quantity", 1));
    }
    for (int i = 0; i < 40; i++) {
        char name[16];
        snprintf(name, sizeof name, "W%d", i);
        json_array_append_new(pieces, json_pack("{s:s, s:o}", "name", name, "length",
                                                document_length(pick(&state, 3000, 25000))));
    }
    json_t *problem = json_pack("{s:i, s:o, s:o}", "kerf", 2, "bars", bars, "pieces", pieces);
    json_t *plan = solved(problem, 30000, "10 000 offcuts");
    cr_assert_eq(json_array_size(json_object_get(plan, "unmet")), 0, "everything is cut");
    json_decref(plan);
    json_decref(problem);
}

Test(solve, a_cancelled_search_still_gives_a_plan) {
    atomic_bool cancel = true;
    struct cutting_options options = cutting_options_default();
    struct fault fault;
    json_t *problem = random_problem(77, 12), *plan;
    options.cancel = &cancel;
    cr_assert(cutlist_run(problem, &options, &plan, &fault), "an answer: %s", fault.message);
    cr_assert(plan_check(problem, plan, &fault), "that holds: %s %s", fault.where, fault.message);
    json_decref(plan);
    json_decref(problem);
}

/* By hand: three bars, kits A on the first and last, B on the first two as they are found; sawn A A B or the like, one
 * kit more than a bar's own is never open. */
Test(sequence, few_kits_open_and_urgent_ones_first) {
    json_t *problem = parse("{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":1000}],\"pieces\":["
                            "{\"name\":\"a1\",\"length\":1000,\"kit\":\"A\"},"
                            "{\"name\":\"b1\",\"length\":999,\"kit\":\"B\",\"due\":\"2026-12-01\"},"
                            "{\"name\":\"a2\",\"length\":998,\"kit\":\"A\"},"
                            "{\"name\":\"b2\",\"length\":997,\"kit\":\"B\",\"due\":\"2026-12-01\"},"
                            "{\"name\":\"a3\",\"length\":996,\"kit\":\"A\"}]}");
    json_t *plan = solved(problem, 0, "kits");
    const json_t *kits = json_object_get(json_object_get(plan, "effort"), "open_kits");
    cr_assert_eq(json_integer_value(json_object_get(kits, "before")), 2,
                 "as found, A stays open while B is cut");
    cr_assert_eq(json_integer_value(json_object_get(kits, "after")), 1, "one kit at a time");
    cr_assert_eq(json_integer_value(json_object_get(kits, "bound")), 1, "no fewer than one");
    const json_t *bars = json_object_get(plan, "bars");
    for (size_t i = 0; i < 2; i++) {
        const json_t *names = json_object_get(json_array_get(bars, i), "pieces");
        cr_assert_eq(json_string_value(json_array_get(names, 0))[0], 'b', "the dated kit comes first");
    }
    json_decref(plan);
    json_decref(problem);
}

/* Forty bars alike are one set-up. */
Test(tidy, equal_bars_are_one_setup) {
    json_t *problem = parse("{\"kerf\":2,\"bars\":[{\"name\":\"b\",\"length\":6000}],\"pieces\":["
                            "{\"name\":\"long\",\"length\":3500,\"quantity\":40},"
                            "{\"name\":\"short\",\"length\":2400,\"quantity\":40}]}");
    json_t *plan = solved(problem, 0, "ganged");
    const json_t *setups = json_object_get(json_object_get(plan, "effort"), "setups");
    cr_assert_eq(json_integer_value(json_object_get(setups, "after")), 1, "one set-up");
    cr_assert_eq(json_array_size(json_object_get(plan, "bars")), 1, "one run of forty");
    const json_t *loads = json_object_get(json_object_get(plan, "effort"), "loads");
    cr_assert_eq(json_integer_value(json_object_get(loads, "after")), 40, "each bar by itself");
    json_decref(plan);
    json_object_set_new(problem, "gang", json_integer(3));
    plan = solved(problem, 0, "three at once");
    loads = json_object_get(json_object_get(plan, "effort"), "loads");
    cr_assert_eq(json_integer_value(json_object_get(loads, "after")), 14, "thirteen times three and one");
    cr_assert_eq(json_integer_value(json_object_get(loads, "bound")), 14, "40 bars hold no less");
    json_decref(plan);
    json_decref(problem);
}

/* Twelve kits of one piece each on four bars cut alike: kits would have them apart, the saw wants them together. */
Test(tidy, bars_cut_alike_stand_together) {
    json_t *problem =
        parse("{\"kerf\":0,\"gang\":2,\"bars\":[{\"name\":\"b\",\"length\":100}],\"pieces\":[]}");
    for (int i = 0; i < 12; i++) {
        char name[16], kit[16];
        snprintf(name, sizeof name, "p%d", i);
        snprintf(kit, sizeof kit, "k%d", i % 5);
        json_array_append_new(json_object_get(problem, "pieces"),
                              json_pack("{s:s, s:i, s:s, s:s}", "name", name, "length", i % 2 == 0 ? 60 : 40,
                                        "kit", kit, "due", i % 3 == 0 ? "2026-01-01" : "2026-02-01"));
    }
    json_t *plan = solved(problem, 0, "together"), *effort = json_object_get(plan, "effort");
    cr_assert_float_eq(number(plan, "cost"), 600, 1e-6, "six bars");
    cr_assert_eq(json_integer_value(json_object_get(json_object_get(effort, "setups"), "after")), 1,
                 "one set-up, though the pieces have names");
    cr_assert_eq(json_integer_value(json_object_get(json_object_get(effort, "loads"), "after")), 3,
                 "two at once");
    struct fault fault;
    json_object_set_new(json_object_get(effort, "loads"), "after", json_integer(2));
    cr_assert_not(plan_check(problem, plan, &fault), "the checker counts them");
    json_decref(plan);
    json_decref(problem);
}

/* By hand: 3000 in two parts from bars of 2000 with a 1000 lying there: 2000 + 1000 wastes nothing, 1500 + 1500 does. */
Test(joins, the_split_that_cuts_best_is_chosen) {
    json_t *problem = parse("{\"kerf\":0,\"bars\":[{\"name\":\"new\",\"length\":2000},{\"name\":\"F1\","
                            "\"length\":1000,\"quantity\":1}],\"pieces\":[{\"name\":\"l\",\"length\":1500},"
                            "{\"name\":\"r\",\"length\":1500}],\"joins\":[{\"pieces\":[\"l\",\"r\"],"
                            "\"alternatives\":[[1500,1500],[1800,1200],[2000,1000]]}]}");
    json_t *plan = solved(problem, 0, "joins");
    cr_assert_float_eq(number(plan, "cost"), 3000, 1e-6, "no waste: %g", number(plan, "cost"));
    cr_assert(json_is_true(json_object_get(plan, "proven")), "proven");
    const json_t *join = json_array_get(json_object_get(plan, "joins"), 0);
    json_t *wanted = parse("[2000,1000]");
    cr_assert(json_equal(json_object_get(join, "lengths"), wanted), "the third alternative");
    json_decref(wanted);
    json_decref(plan);
    json_decref(problem);
}

/* Never dearer than with the first alternatives fixed, and the bound never above either. */
Test(joins, a_choice_never_costs_more) {
    for (uint64_t seed = 700; seed < 730; seed++) {
        char what[32];
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *problem = random_problem(seed, 8);
        json_t *pieces = json_object_get(problem, "pieces"), *joins = json_array();
        for (size_t i = 0; i + 1 < json_array_size(pieces); i += 2) {
            json_t *one = json_array_get(pieces, i), *other = json_array_get(pieces, i + 1);
            double a = json_number_value(json_object_get(one, "length"));
            double b = json_number_value(json_object_get(other, "length"));
            double half = floor((a + b) / 2), rest = round((a + b - half) * 10) / 10;
            json_object_set_new(one, "quantity", json_integer(1));
            json_object_set_new(other, "quantity", json_integer(1));
            json_array_append_new(joins, json_pack("{s:[s, s], s:[[f, f], [f, f], [f, f]]}", "pieces",
                                                   json_string_value(json_object_get(one, "name")),
                                                   json_string_value(json_object_get(other, "name")),
                                                   "alternatives", a, b, half, rest, b, a));
        }
        json_t *fixed = solved(problem, 20000, what);
        json_object_set_new(problem, "joins", joins);
        json_t *chosen = solved(problem, 60000, what);
        if (json_array_size(json_object_get(fixed, "unmet")) +
                json_array_size(json_object_get(chosen, "unmet")) ==
            0) {
            cr_assert_leq(number(chosen, "bound"), number(fixed, "cost"), "%s: the bound holds", what);
            if (json_is_true(json_object_get(chosen, "proven")))
                cr_assert_leq(number(chosen, "cost"), number(fixed, "cost"), "%s: a choice helps", what);
        }
        json_decref(fixed);
        json_decref(chosen);
        json_decref(problem);
    }
}
