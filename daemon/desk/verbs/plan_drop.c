/* Drops a plan: what is not cut of it goes back. SPDX-License-Identifier: Apache-2.0 */
#include "desk/plan_subject.h"
#include "desk/statement.h"

#include <inttypes.h>
#include <string.h>

static bool may_drop(const struct plan_subject *plan, struct fault *fault) {
    static const char *const states[] = {"queued", "solving", "ready", "released"};
    for (size_t i = 0; i < sizeof states / sizeof states[0]; i++)
        if (strcmp(plan->state, states[i]) == 0)
            return true;
    return fault_set(fault, "step-not-allowed", "plan", "Plan %" PRId64 " is %s already.", plan->id,
                     plan->state);
}

static json_t *drop(struct desk_call *call, const struct plan_subject *plan, struct fault *fault) {
    json_t *ids = json_pack("[I]", (json_int_t)plan->id);
    if (ids == NULL) {
        fault_memory(fault);
        return NULL;
    }
    struct store_values values = {0};
    store_json(&values, ids);
    json_t *answer = statement_json(call, &query_plan_drop, &values, fault);
    json_decref(ids);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct plan_subject plan;
    if (!plan_open(call, &plan, fault) || !may_drop(&plan, fault))
        return NULL;
    json_t *dropped = drop(call, &plan, fault);
    if (dropped == NULL)
        return NULL;
    const json_t *after = json_array_get(json_object_get(dropped, "plans"), 0);
    const char *state = json_string_value(json_object_get(after, "state"));
    json_t *answer = plan_answer(call, &plan, "plan.dropped", state == NULL ? "dropped" : state, fault);
    if (answer != NULL) {
        json_object_set(answer, "pieces", json_object_get(dropped, "pieces"));
        json_object_set(answer, "bars", json_object_get(dropped, "bars"));
    }
    json_decref(dropped);
    return answer;
}

const struct desk_verb desk_verb_plan_drop = {
    "plan.drop", ROLE_SAW | ROLE_MANAGER, DESK_CHANGES,
    "Drops a plan: pieces not yet cut go back to the pool, bars not yet cut to the rack.", run};
