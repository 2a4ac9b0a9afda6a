/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const states[] = {"queued", "sending",   "printing", "printed",
                                         "held",   "cancelled", NULL};
    struct form form;
    char station[64];
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "state", states, 0);
    form_text_or(&form, "station", station, sizeof station, "");
    form_integer_or(&form, "after", 1, INT64_MAX, 1);
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_print_list, "jobs", fault) : NULL;
}

const struct desk_verb desk_verb_print_list = {
    "print.list", ROLE_ANY, DESK_READS,
    "Print jobs that are not done, or those of a state, newest first, with what holds them up.", run};
