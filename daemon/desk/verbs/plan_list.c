/* Plans, newest first, page by page. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const states[] = {"queued", "solving", "ready",   "released",
                                         "done",   "failed",  "dropped", NULL};
    struct form form;
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "state", states, 0);
    form_boolean_or(&form, "live", false);
    form_integer_or(&form, "before", 1, INT64_MAX, INT64_MAX);
    form_integer_or(&form, "limit", 1, 500, 50);
    return form_close(&form) ? desk_answer_of(call, &query_plan_list, "plans", fault) : NULL;
}

const struct desk_verb desk_verb_plan_list = {
    "plan.list", ROLE_ANY, DESK_READS,
    "Plans, newest first, a page at a time: all, those of one state, or the live ones.", run};
