/* What is short, and what that holds up. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char text[120];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text_or(&form, "after", text, sizeof text, "");
    form_integer_or(&form, "limit", 1, 500, 100);
    return form_close(&form) ? desk_answer_of(call, &query_report_shortages, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_shortages = {
    "report.shortages", ROLE_ANY, DESK_READS,
    "What open orders lack, which of them it holds up, and when it is expected.", run};
