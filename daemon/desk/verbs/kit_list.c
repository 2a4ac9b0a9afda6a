/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const states[] = {"waiting",    "picking",   "complete", "packed",
                                         "dispatched", "cancelled", NULL};
    struct form form;
    char order[STOCK_CODE], after[SCAN_FIELD];
    form_open(&form, call->body, "", fault);
    form_choice_or(&form, "state", states, 0);
    form_text_or(&form, "order", order, sizeof order, "");
    form_text_or(&form, "after", after, sizeof after, "");
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_kit_list, "kits", fault) : NULL;
}

const struct desk_verb desk_verb_kit_list = {
    "kit.list", ROLE_ANY, DESK_READS,
    "Kits as they fall due: how much is picked, short and matched. All open ones, or by state or order.",
    run};
