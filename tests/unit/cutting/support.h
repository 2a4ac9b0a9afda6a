/* Problems made from a seed, as documents. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TEST_CUTTING_SUPPORT_H
#define ELLWAND_TEST_CUTTING_SUPPORT_H

#include "common/document.h"
#include "cutting/check/plan_check.h"
#include "cutting/cutlist.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

static inline int64_t pick(uint64_t *state, int64_t least, int64_t most) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return least + (int64_t)((*state >> 33) % (uint64_t)(most - least + 1));
}

static inline json_t *parse(const char *text) {
    struct fault fault;
    json_t *json = document_read(text, strlen(text), &document_large, &fault);
    cr_assert_not_null(json, "the test's own text is JSON: %s", fault.message);
    return json;
}

/* A small workshop problem with every feature that the seed turns on. */
static inline json_t *random_problem(uint64_t seed, int most_pieces) {
    uint64_t state = seed * 7919 + 17;
    int bars = (int)pick(&state, 1, 3), offcuts = (int)pick(&state, 0, 5),
        pieces = (int)pick(&state, 1, most_pieces);
    json_t *bar_list = json_array(), *piece_list = json_array();
    bool limited = pick(&state, 0, 4) == 0;
    for (int i = 0; i < bars; i++) {
        char name[16];
        snprintf(name, sizeof name, "B%d", i);
        int64_t length = pick(&state, 30, 70) * 1000;
        json_array_append_new(
            bar_list, json_pack("{s:s, s:o, s:o, s:o}", "name", name, "length", document_length(length),
                                "quantity", limited ? json_integer(pick(&state, 0, 4)) : json_null(), "value",
                                document_length(length + pick(&state, -2000, 2000))));
    }
    for (int i = 0; i < offcuts; i++) {
        char name[16];
        snprintf(name, sizeof name, "F%d", i);
        json_array_append_new(bar_list,
                              json_pack("{s:s, s:o, s:i, s:b, s:I}", "name", name, "length",
                                        document_length(pick(&state, 6000, 30000)), "quantity", 1, "squared",
                                        (int)pick(&state, 0, 1), "age", (json_int_t)pick(&state, 0, 90)));
    }
    for (int i = 0; i < pieces; i++) {
        char name[16];
        snprintf(name, sizeof name, "W%d", i);
        json_array_append_new(piece_list, json_pack("{s:s, s:o, s:I, s:I}", "name", name, "length",
                                                    document_length(pick(&state, 3000, 40000)), "quantity",
                                                    (json_int_t)pick(&state, 1, 3), "priority",
                                                    (json_int_t)pick(&state, 0, 9)));
    }
    json_t *problem =
        json_pack("{s:o, s:o, s:o, s:o, s:o}", "kerf", document_length(pick(&state, 0, 2) * 22), "lead_trim",
                  document_length(pick(&state, 0, 1) * 100), "tail_clamp",
                  document_length(pick(&state, 0, 3) == 0 ? 400 : 0), "bars", bar_list, "pieces", piece_list);
    if (pick(&state, 0, 3) > 0)
        json_object_set_new(
            problem, "remainder",
            json_pack("{s:o, s:I, s:o}", "usable", document_length(pick(&state, 3000, 9000)), "value_percent",
                      (json_int_t)pick(&state, 0, 100), "places",
                      pick(&state, 0, 2) == 0 ? json_integer(pick(&state, 0, 4)) : json_null()));
    return problem;
}

/* Solves with a work limit and checks the plan; the plan is the caller's. */
static inline json_t *solved(const json_t *problem, int64_t work, const char *what) {
    struct cutting_options options = cutting_options_default();
    struct fault fault = {0};
    json_t *plan;
    options.work = work;
    options.clock = NULL;
    cr_assert(cutlist_run(problem, &options, &plan, &fault), "%s: solves: %s %s", what, fault.where,
              fault.message);
    bool fine = plan_check(problem, plan, &fault);
    if (!fine) {
        json_dumpf(problem, stderr, JSON_COMPACT);
        json_dumpf(plan, stderr, JSON_COMPACT);
    }
    cr_assert(fine, "%s: the checker says: %s: %s", what, fault.where, fault.message);
    return plan;
}

static inline double number(const json_t *plan, const char *field) {
    return json_number_value(json_object_get(plan, field));
}

#endif
