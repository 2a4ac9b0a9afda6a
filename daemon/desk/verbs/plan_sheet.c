/* The document of a plan's cut sheet. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

#include <string.h>

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    long long plan = form_integer(&form, "plan", 1, INT64_MAX);
    json_t *sheet = form_close(&form) ? desk_answer_of(call, &query_plan_cut_sheet, "plan", fault) : NULL;
    if (sheet == NULL && strcmp(fault->code, "not-found") == 0)
        fault_set(fault, "not-found", "plan",
                  "Plan %lld has nothing left to be cut, or there is no such plan here.", plan);
    return sheet;
}

const struct desk_verb desk_verb_plan_sheet = {
    "plan.sheet", ROLE_ANY, DESK_READS,
    "The cut sheet of a plan as a document: what the saw has still to cut, stop by stop.", run};
