/* Orders that are late, and why. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char text[41];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_integer_or(&form, "ahead", 0, 365, 0);
    form_text_or(&form, "after", text, sizeof text, "");
    form_integer_or(&form, "limit", 1, 1000, 100);
    return form_close(&form) ? desk_answer_of(call, &query_report_late, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_late = {
    "report.late", ROLE_ANY, DESK_READS,
    "Open orders whose day has passed or comes soon, and what each waits for.", run};
