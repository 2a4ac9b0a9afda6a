/* Limits of memory and work: the plan holds, and says which limit ended the search. Many lengths, so that the search has
 * all of its parts to do. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutting.h"
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
