/* A parcel leaves the house. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"
#include "desk/stock_steps.h"

/* With the last parcel the order is dispatched. */
static bool close_order(struct desk_call *call, int64_t order, json_t *answer, struct fault *fault) {
    bool last = json_array_size(json_object_get(answer, "left")) == 0;
    json_object_set_new(answer, "order_state", json_string(last ? "dispatched" : "packed"));
    if (!last)
        return desk_announce(call, "parcel.sent", json_deep_copy(answer), fault);
    json_t *gone = statement_json_for(call, &query_order_dispatch, order, fault);
    return gone != NULL && desk_announce(call, "order.dispatched", gone, fault);
}

static json_t *send_off(struct desk_call *call, const json_t *locked, struct fault *fault) {
    int64_t parcel = json_integer_value(json_object_get(locked, "parcel"));
    json_t *answer = statement_json_for(call, &query_parcel_send, parcel, fault);
    if (answer != NULL &&
        close_order(call, json_integer_value(json_object_get(locked, "order")), answer, fault))
        return answer;
    json_decref(answer);
    return NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char parcel[SCAN_FIELD], reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    form_text(&form, "parcel", parcel, sizeof parcel);
    form_text_or(&form, "reason", reason, sizeof reason, "dispatched");
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *locked = desk_read(call, &query_parcel_lock, "parcel", fault);
    json_t *answer = locked == NULL ? NULL : send_off(call, locked, fault);
    json_decref(locked);
    return answer;
}

const struct desk_verb desk_verb_parcel_send = {
    "parcel.send", ROLE_STORES | ROLE_DESK, DESK_CHANGES,
    "Sends one parcel of a packed order off, by its label; the last one dispatches the order.", run};
