/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD];
    form_open(&form, call->body, "", fault);
    form_text(&form, "part", part, sizeof part);
    form_integer_or(&form, "after", 1, INT64_MAX, 1);
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_stock_ledger, "part", fault) : NULL;
}

const struct desk_verb desk_verb_stock_ledger = {"stock.ledger", ROLE_STORES | ROLE_MANAGER, DESK_READS,
                                                 "What came and went of one part, newest first: when, how "
                                                 "much, which bin, for which kit, by whom and why.",
                                                 run};
