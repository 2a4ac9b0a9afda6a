/* Where every metre went. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    char text[41];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text_or(&form, "system", text, sizeof text, "");
    form_text_or(&form, "finish", text, sizeof text, "");
    return form_close(&form) ? desk_answer_of(call, &query_report_metres, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_metres = {
    "report.metres", ROLE_SAW | ROLE_MANAGER, DESK_READS,
    "Where every metre of track came from and went, by system and finish.", run};
