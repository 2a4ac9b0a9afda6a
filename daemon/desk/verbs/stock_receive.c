/* Goods come in. SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static bool read_receipt(const json_t *body, char reason[STOCK_REASON], struct fault *fault) {
    static const char *const kinds[] = {"receipt", "opening", NULL};
    struct form form;
    form_open(&form, body, "", fault);
    form_choice_or(&form, "kind", kinds, 0);
    form_text_or(&form, "reason", reason, STOCK_REASON, "goods came in");
    if (!stock_receipt_read(&form, 1, fault))
        return false;
    return form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[STOCK_REASON];
    if (!read_receipt(call->body, reason, fault) || !desk_reason(call, reason, fault))
        return NULL;
    return stock_change(call, &query_stock_receive_entries, fault);
}

const struct desk_verb desk_verb_stock_receive = {
    "stock.receive", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Books goods into bins and hands them on to the kits that wait for them.", run};
