/* Stops the solving of a plan; nothing of it is kept. SPDX-License-Identifier: Apache-2.0 */
#include "desk/plan_subject.h"
#include "desk/statement.h"

#include <inttypes.h>
#include <string.h>

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct plan_subject plan;
    if (!plan_open(call, &plan, fault))
        return NULL;
    bool queued = strcmp(plan.state, "queued") == 0;
    if (!queued && strcmp(plan.state, "solving") != 0) {
        fault_set(fault, "step-not-allowed", "plan",
                  "Plan %" PRId64 " is %s; only one that is queued or being solved can be stopped. "
                  "Drop it instead.",
                  plan.id, plan.state);
        return NULL;
    }
    if (!statement_for(call, &query_plan_ask_cancel, plan.id, fault))
        return NULL;
    return plan_answer(call, &plan, "plan.cancel", queued ? "dropped" : "solving", fault);
}

const struct desk_verb desk_verb_plan_cancel = {"plan.cancel", ROLE_SAW | ROLE_MANAGER, DESK_CHANGES,
                                                "Stops the solving of a plan; its pieces stay in the pool.",
                                                run};
