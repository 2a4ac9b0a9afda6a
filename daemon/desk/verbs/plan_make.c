/* Asks for cutting plans, one for each system and finish that has pieces waiting.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"

struct wish {
    char saw[41], system[41], finish[41], due[11];
    double seconds;
};

static bool read_wish(const json_t *body, struct wish *wish, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    form_text(&form, "saw", wish->saw, sizeof wish->saw);
    form_text_or(&form, "system", wish->system, sizeof wish->system, "");
    form_text_or(&form, "finish", wish->finish, sizeof wish->finish, "");
    form_date_or(&form, "due", wish->due, "");
    wish->seconds = form_number_or(&form, "time_limit", 0.1, 600, 10);
    return form_close(&form);
}

static json_t *text_or_null(const char *text) {
    return text[0] == '\0' ? json_null() : json_string(text);
}

static json_t *make(struct desk_call *call, const struct wish *wish, struct fault *fault) {
    json_t *filter = json_pack("{s:o, s:o, s:o, s:I}", "system", text_or_null(wish->system), "finish",
                               text_or_null(wish->finish), "due", text_or_null(wish->due), "time_limit_ms",
                               (json_int_t)(wish->seconds * 1000));
    if (filter == NULL) {
        fault_memory(fault);
        return NULL;
    }
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, wish->saw);
    store_json(&values, filter);
    json_t *plans = statement_json(call, &query_plan_make, &values, fault);
    json_decref(filter);
    return plans;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct wish wish;
    if (!read_wish(call->body, &wish, fault))
        return NULL;
    json_t *plans = make(call, &wish, fault);
    if (plans == NULL)
        return NULL;
    if (json_is_null(plans)) {
        fault_set(fault, "unknown-saw", "saw", "The catalogue has no saw %s.", wish.saw);
        return NULL;
    }
    call->wakes_planner = true;
    json_t *answer = json_pack("{s:o}", "plans", plans);
    if (answer == NULL)
        fault_memory(fault);
    return answer;
}

const struct desk_verb desk_verb_plan_make = {
    "plan.make", ROLE_SAW | ROLE_MANAGER, DESK_CHANGES,
    "Asks for cutting plans for a saw: one for each system and finish with pieces waiting.", run};
