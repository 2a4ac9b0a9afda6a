/* What is in stock, and its value. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char text[120];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text_or(&form, "after", text, sizeof text, "");
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_report_stock, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_stock = {
    "report.stock", ROLE_MANAGER, DESK_READS,
    "What is in stock and what it is worth: parts, full bars, offcuts; with the sums of all pages.", run};
