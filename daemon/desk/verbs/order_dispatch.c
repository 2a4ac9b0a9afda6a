/* A packed order leaves the house. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char number[SCAN_FIELD], reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    form_text(&form, "order", number, sizeof number);
    form_text_or(&form, "reason", reason, sizeof reason, "dispatched");
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *order = desk_read(call, &query_order_dispatch_lock, "order", fault);
    int64_t id = json_integer_value(order);
    json_t *answer = order != NULL && statement_for(call, &query_parcel_send_all, id, fault)
                         ? statement_json_for(call, &query_order_dispatch, id, fault)
                         : NULL;
    json_decref(order);
    if (answer != NULL && desk_announce(call, "order.dispatched", json_deep_copy(answer), fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_order_dispatch = {"order.dispatch", ROLE_STORES | ROLE_DESK, DESK_CHANGES,
                                                   "Sends a packed order off with its kits and pieces.", run};
