/* The thread that solves a plan. SPDX-License-Identifier: Apache-2.0 */
#include "desk/solver.h"

#include <criterion/criterion.h>
#include <stdio.h>

/* Bars of 6 m and `count` pieces of different lengths. */
static json_t *problem_of(int count) {
    json_t *pieces = json_array();
    for (int i = 0; i < count; i++) {
        char name[16];
        snprintf(name, sizeof name, "%d", i + 1);
        json_array_append_new(pieces,
                              json_pack("{s:s, s:f}", "name", name, "length", 700.3 + (i * 7919) % 2311));
    }
    return json_pack("{s:f, s:i, s:{s:i, s:i}, s:[{s:s, s:i, s:n}], s:o}", "kerf", 2.2, "lead_trim", 10,
                     "remainder", "usable", 600, "value_percent", 80, "bars", "name", "six", "length", 6000,
                     "quantity", "pieces", pieces);
}

static struct solver *start(const json_t *problem, double seconds) {
    struct fault fault;
    struct solver *solver = solver_start(problem, seconds, &fault);
    cr_assert_not_null(solver, "%s: %s", fault.where, fault.message);
    return solver;
}

/* Every piece stands once on a bar. */
static size_t pieces_of(const json_t *result) {
    const json_t *bars = json_object_get(result, "bars"), *bar;
    size_t at, pieces = 0;
    json_array_foreach((json_t *)bars, at, bar) pieces +=
        (size_t)json_integer_value(json_object_get(bar, "count")) *
        json_array_size(json_object_get(bar, "pieces"));
    return pieces;
}

Test(solver, solves_and_tells) {
    struct fault fault;
    struct solver_news news;
    json_t *problem = problem_of(40);
    struct solver *solver = start(problem, 5);
    while (!solver_wait(solver, 1000))
        ;
    solver_news(solver, &news);
    json_t *result = solver_end(&solver, &fault);
    cr_assert_not_null(result, "%s: %s", fault.where, fault.message);
    cr_assert_null(solver, "an ended solver is still there");
    cr_assert_eq(pieces_of(result), 40);
    cr_assert(news.serial > 0, "it told nothing");
    cr_assert(news.best >= news.bound, "the best is below the bound");
    json_decref(result);
    json_decref(problem);
}

/* How quickly is for a benchmark to say: left alone this runs for ten minutes, twice the time that a test may take. */
Test(solver, stops_when_asked) {
    struct fault fault;
    json_t *problem = problem_of(3000);
    struct solver *solver = start(problem, 600);
    cr_assert_not(solver_wait(solver, 200), "the problem is too easy to be stopped");
    solver_stop(solver);
    json_t *result = solver_end(&solver, &fault);
    cr_assert_not_null(result, "%s: %s", fault.where, fault.message);
    cr_assert(json_is_true(json_object_get(result, "stopped")), "the plan does not say that it was stopped");
    cr_assert_not(json_is_true(json_object_get(result, "proven")));
    cr_assert_eq(pieces_of(result), 3000, "a plan that was stopped still cuts everything");
    json_decref(result);
    json_decref(problem);
}

Test(solver, refuses_a_bad_document) {
    struct fault fault;
    json_t *problem = problem_of(3);
    json_object_set_new(problem, "kerf", json_integer(-1));
    cr_assert_null(solver_start(problem, 1, &fault), "a negative kerf was taken");
    cr_assert_str_eq(fault.where, "kerf", "%s", fault.where);
    json_decref(problem);
}
