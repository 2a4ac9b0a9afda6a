/* An order is given up: everything of it goes back where it came from. SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"
#include "desk/order_steps.h"
#include "desk/parcel_steps.h"
#include "desk/statement.h"

#include <stdio.h>

static bool cancel_pieces(struct desk_call *call, const struct order_subject *order, bool long_ones,
                          struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, order->id);
    store_boolean(&values, long_ones);
    return store_run_nothing(call->session, &query_piece_cancel, &values, fault);
}

/* Cut pieces long enough become offcuts, with a label each; the others are scrap, and their history says so.
 */
static bool give_up_pieces(struct desk_call *call, const struct order_subject *order, json_t *answer,
                           struct fault *fault) {
    char scrapped[sizeof order->reason + 64];
    snprintf(scrapped, sizeof scrapped, "%s (a cut piece too short for the rack is scrap)", order->reason);
    json_t *offcuts = statement_json_for(call, &query_rack_put_back_pieces, order->id, fault);
    if (offcuts == NULL)
        return false;
    json_t *labels = json_array();
    json_object_set_new(answer, "offcuts", offcuts);
    json_object_set_new(answer, "labels", labels);
    return labels_ask_rack(call, offcuts, labels, fault) && cancel_pieces(call, order, true, fault) &&
           desk_reason(call, scrapped, fault) && cancel_pieces(call, order, false, fault) &&
           desk_reason(call, order->reason, fault);
}

bool order_cancel(struct desk_call *call, const struct order_subject *order, json_t *answer,
                  struct fault *fault) {
    json_t *parts = NULL;
    bool good = parcels_open(call, order->id, fault) && order_leave_plans(call, order, answer, fault) &&
                give_up_pieces(call, order, answer, fault) &&
                order_parts_release(call, order, true, answer, &parts, fault) &&
                statement_for(call, &query_order_cancel_kits, order->id, fault) &&
                order_step(call, order, "cancelled", fault) &&
                order_parts_hand_on(call, parts, answer, fault);
    json_decref(parts);
    return good;
}
