/* Cancels an order: everything of it goes back where it came from. SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"

static bool cancel(struct desk_call *call, const struct order_subject *order, json_t *answer,
                   struct fault *fault) {
    return order_cancel(call, order, answer, fault) &&
           desk_announce(call, "order.cancelled", json_pack("{s:s}", "order", order->number), fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    return order_give_up(call, "cancelled", cancel, fault);
}

const struct desk_verb desk_verb_order_cancel = {
    "order.cancel", ROLE_DESK | ROLE_MANAGER, DESK_CHANGES,
    "Cancels an order: pieces leave their plans or go on the rack, parts go back to their bins.", run};
