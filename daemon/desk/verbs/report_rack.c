/* The rack, in sums. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char text[240];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text_or(&form, "system", text, sizeof text, "");
    form_text_or(&form, "finish", text, sizeof text, "");
    form_boolean_or(&form, "by_batch", false);
    form_text_or(&form, "after", text, sizeof text, "");
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_report_rack, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_rack = {
    "report.rack", ROLE_SAW | ROLE_MANAGER, DESK_READS,
    "Bars and offcuts by system and finish: count, length, value and age; offcuts by weeks on the rack.",
    run};
