/* One plan, with everything needed to draw it. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    form_integer(&form, "plan", 1, INT64_MAX);
    return form_close(&form) ? desk_answer_of(call, &query_plan_show, "plan", fault) : NULL;
}

const struct desk_verb desk_verb_plan_show = {
    "plan.show", ROLE_ANY, DESK_READS,
    "One plan: its bars in sawing order, their pieces, remainders, cost and proven bound.", run};
