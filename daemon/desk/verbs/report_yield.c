/* What the saw made of its bars. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const by[] = {"system", "finish", "saw", "week", NULL};
    char text[41];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "by", by, 3);
    form_integer_or(&form, "weeks", 1, 520, 13);
    form_text_or(&form, "system", text, sizeof text, "");
    form_text_or(&form, "finish", text, sizeof text, "");
    form_text_or(&form, "saw", text, sizeof text, "");
    return form_close(&form) ? desk_answer_of(call, &query_report_yield, "report", fault) : NULL;
}

const struct desk_verb desk_verb_report_yield = {
    "report.yield", ROLE_SAW | ROLE_MANAGER, DESK_READS,
    "What the saw made of its bars: pieces, kerf, scrap and yield by system, finish, saw or week.", run};
