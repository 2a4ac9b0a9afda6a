/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/plan_subject.h"

#include "common/text.h"

#include <inttypes.h>

static bool lock_plan(struct desk_call *call, struct plan_subject *plan, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, plan->id);
    if (!store_run(call->session, &query_plan_lock, &values, &rows, fault))
        return false;
    bool found = rows_count(&rows) == 1;
    if (found)
        text_copy(plan->state, sizeof plan->state, rows_text(&rows, 0, 0));
    rows_free(&rows);
    return found || fault_set(fault, "not-found", "plan", "There is no plan %" PRId64 " here.", plan->id);
}

bool plan_open(struct desk_call *call, struct plan_subject *plan, struct fault *fault) {
    *plan = (struct plan_subject){0};
    struct form form;
    form_open(&form, call->body, "", fault);
    plan->id = form_integer(&form, "plan", 1, INT64_MAX);
    form_text_or(&form, "reason", plan->reason, sizeof plan->reason, "");
    return form_close(&form) && lock_plan(call, plan, fault) && desk_reason(call, plan->reason, fault);
}

json_t *plan_answer(struct desk_call *call, const struct plan_subject *plan, const char *topic,
                    const char *state, struct fault *fault) {
    json_t *answer = json_pack("{s:I, s:s}", "plan", (json_int_t)plan->id, "state", state);
    if (answer == NULL)
        fault_memory(fault);
    if (answer != NULL && desk_announce(call, topic, json_deep_copy(answer), fault))
        return answer;
    json_decref(answer);
    return NULL;
}
