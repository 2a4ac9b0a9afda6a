/* What was used against what the take-off said. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char text[120];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_integer_or(&form, "weeks", 1, 520, 13);
    form_text_or(&form, "after", text, sizeof text, "");
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_report_use, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_use = {
    "report.use", ROLE_MANAGER, DESK_READS,
    "What was used against what the take-off said: parts of dispatched kits, and track.", run};
