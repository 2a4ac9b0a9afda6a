/* What lies in stock and is not used. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    form_integer_or(&form, "weeks", 1, 520, 26);
    form_integer_or(&form, "after", 0, 1000000, 0);
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_report_dead, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_dead = {
    "report.dead", ROLE_MANAGER, DESK_READS,
    "Parts in stock that were not used for a long time and that nothing wants, the dearest first.", run};
