/* The checker notices whatever is changed in a good plan. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

static const char problem_text[] =
    "{\"kerf\":2.2,\"lead_trim\":10,\"remainder\":{\"usable\":600,\"value_percent\":80,\"places\":1},"
    "\"bars\":[{\"name\":\"six\",\"length\":6000,\"quantity\":2},{\"name\":\"F1\",\"length\":2000,"
    "\"quantity\":1,"
    "\"squared\":true}],\"pieces\":[{\"name\":\"a\",\"length\":1830,\"quantity\":3},{\"name\":\"b\","
    "\"length\":9000}]}";

/* By hand: bar 6000 = 10 + 3 * 1830 + 3 * 2.2 + 493.4; nothing goes back. */
static const char plan_text[] =
    "{\"cost\":6000,\"bound\":5000,\"proven\":false,\"proof\":\"material\",\"unmet\":[{\"piece\":\"b\","
    "\"quantity\":1,"
    "\"why\":\"too-long\"}],\"buy\":[],\"bars\":[{\"bar\":\"six\",\"count\":1,\"pieces\":[\"a\",\"a\",\"a\"],"
    "\"kerfs\":3,\"lead_trim\":10,\"dust\":6.6,\"remainder\":493.4,\"returns\":false}],\"ms\":1}";

Test(check, accepts_the_plan_by_hand) {
    struct fault fault;
    json_t *problem = parse(problem_text), *plan = parse(plan_text);
    cr_assert(plan_check(problem, plan, &fault), "%s: %s", fault.where, fault.message);
    json_decref(problem);
    json_decref(plan);
}

Test(check, refuses_every_change) {
    static const char *const changes[][2] = {
        {"\"cost\":6000", "\"cost\":5999.9"},
        {"\"bound\":5000", "\"bound\":6000.1"},
        {"\"proven\":false", "\"proven\":true"},
        {"\"count\":1,", "\"count\":2,"},
        {"\"count\":1,", "\"count\":3,"},
        {"\"a\",\"a\",\"a\"", "\"a\",\"a\""},
        {"\"a\",\"a\",\"a\"", "\"a\",\"a\",\"b\""},
        {"\"a\",\"a\",\"a\"", "\"a\",\"a\",\"c\""},
        {"\"kerfs\":3", "\"kerfs\":2"},
        {"\"dust\":6.6", "\"dust\":6.5"},
        {"\"remainder\":493.4", "\"remainder\":493.5"},
        {"\"lead_trim\":10", "\"lead_trim\":0"},
        {"\"returns\":false", "\"returns\":true"},
        {"\"why\":\"too-long\"", "\"why\":\"no-stock\""},
        {"\"bar\":\"six\"", "\"bar\":\"F1\""},
        {"\"piece\":\"b\"", "\"piece\":\"a\""},
        {"\"ms\":1", "\"ms\":1,\"extra\":1"},
        {"\"quantity\":1,", "\"quantity\":2,"},
    };
    json_t *problem = parse(problem_text);
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        char text[1000];
        struct fault fault;
        const char *at = strstr(plan_text, changes[i][0]);
        cr_assert_not_null(at, "change %zu finds its place", i);
        snprintf(text, sizeof text, "%.*s%s%s", (int)(at - plan_text), plan_text, changes[i][1],
                 at + strlen(changes[i][0]));
        json_t *plan = parse(text);
        cr_assert_not(plan_check(problem, plan, &fault), "change %zu (%s) is noticed", i, changes[i][1]);
        json_decref(plan);
    }
    json_decref(problem);
}
