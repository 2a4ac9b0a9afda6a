/* Limits of memory and work: the plan holds, and says which limit ended the search. Many lengths, so that the search has
 * all of its parts to do. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutting.h"
#include "cutting/watch.h"
#include "support.h"

/* `count` pieces, all of different lengths, three lengths of bar and a few offcuts. */
static json_t *long_list(int count) {
    json_t *problem =
        parse("{\"kerf\":2.2, \"lead_trim\":10, \"remainder\":{\"usable\":600, \"value_percent\":80},"
              "\"bars\":[{\"name\":\"a\", \"length\":6000}, {\"name\":\"b\", \"length\":5000},"
              "{\"name\":\"c\", \"length\":3600}, {\"name\":\"d\", \"length\":2900, \"quantity\":1},"
              "{\"name\":\"e\", \"length\":1700, \"quantity\":1}], \"pieces\":[]}");
    uint64_t state = 99;
    for (int i = 0; i < count; i++) {
        char name[16];
        snprintf(name, sizeof name, "W%d", i);
        json_array_append_new(json_object_get(problem, "pieces"),
                              json_pack("{s:s, s:o}", "name", name, "length",
                                        document_length(9000 + 90 * i + pick(&state, 0, 89))));
    }
    return problem;
}

static json_t *solved_within(const json_t *problem, int64_t work, size_t memory) {
    struct cutting_problem read;
    struct cutting_plan plan;
    struct fault fault;
    struct cutting_options options = cutting_options_default();
    options.seconds = 0;
    options.clock = NULL;
    options.work = work;
    options.memory = memory;
    cr_assert(cutting_problem_read(problem, &read, &fault), "%s: %s", fault.where, fault.message);
    cr_assert(cutting_solve(&read, &options, &plan, &fault), "%s: %s", fault.where, fault.message);
    json_t *document = cutting_plan_write(&read, &plan);
    cr_assert_not_null(document);
    cr_assert(plan_check(problem, document, &fault), "%s: %s", fault.where, fault.message);
    cutting_plan_free(&plan);
    cutting_problem_free(&read);
    return document;
}

static void expect_stop(const json_t *plan, const char *by) {
    cr_assert(json_is_true(json_object_get(plan, "stopped")));
    cr_assert_str_eq(json_string_value(json_object_get(plan, "stopped_by")), by);
}

Test(limits, memory_that_runs_out_is_said_and_the_plan_holds) {
    json_t *problem = long_list(300);
    json_t *plan = solved_within(problem, 0, (size_t)1 << 20);
    expect_stop(plan, "memory");
    json_decref(plan);
    json_decref(problem);
}

Test(limits, more_work_is_never_worse) {
    json_t *problem = long_list(120);
    json_t *little = solved_within(problem, 50000, 0), *more = solved_within(problem, 3000000, 0);
    expect_stop(little, "work");
    cr_assert_leq(number(more, "cost"), number(little, "cost"));
    cr_assert_geq(number(more, "bound"), number(little, "bound"));
    cr_assert_lt(number(more, "cost") - number(more, "bound"), 0.001 * number(more, "cost"),
                 "120 lengths are planned to a tenth of a percent");
    json_decref(little);
    json_decref(more);
    json_decref(problem);
}

Test(limits, many_lengths_give_the_same_plan_again) {
    json_t *problem = long_list(110);
    json_t *one = solved_within(problem, 150000, 0), *other = solved_within(problem, 150000, 0);
    json_object_del(one, "ms");
    json_object_del(other, "ms");
    cr_assert(json_equal(one, other));
    json_decref(one);
    json_decref(other);
    json_decref(problem);
}

/* Steps that a search without end may take. */
static int64_t steps_until_over(struct watch *watch) {
    const int64_t stride = 1 << 20;
    for (int64_t steps = 0; steps <= 4 * CUTTING_WORK_DEFAULT; steps += stride)
        if (watch_over(watch, stride))
            return steps + stride;
    return INT64_MAX;
}

static double still_clock(void) {
    return 0;
}

Test(limits, without_any_limit_a_search_ends_all_the_same) {
    struct cutting_options options = cutting_options_default();
    struct watch watch;
    options.seconds = 0;
    watch_start(&watch, &options);
    int64_t steps = steps_until_over(&watch);
    cr_assert(steps >= CUTTING_WORK_DEFAULT && steps < 2 * CUTTING_WORK_DEFAULT, "%ld steps", (long)steps);
    cr_assert_eq(watch_reason(&watch), CUTTING_STOP_WORK, "and says why");
    options.seconds = 1;
    options.clock = NULL;
    watch_start(&watch, &options);
    cr_assert_lt(steps_until_over(&watch), INT64_MAX, "seconds without a clock are no limit");
    options.clock = still_clock;
    watch_start(&watch, &options);
    cr_assert_eq(steps_until_over(&watch), INT64_MAX, "a time limit is one, and the steps then are not");
    options.work = 3 << 20;
    watch_start(&watch, &options);
    cr_assert_eq(steps_until_over(&watch), 3 << 20, "a work limit holds as given");
    struct cutting_options own;
    struct watch part;
    options.work = 0;
    options.clock = NULL;
    watch_start(&watch, &options);
    watch_part(&watch, INT64_MAX / 4, &own, &part);
    cr_assert_lt(steps_until_over(&part), INT64_MAX, "a part ends with the whole");
}
