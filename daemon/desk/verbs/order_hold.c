/* Holds an order: nothing of it is cut or picked until it is resumed. SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"

static bool hold(struct desk_call *call, const struct order_subject *order, json_t *answer,
                 struct fault *fault) {
    json_t *parts = NULL;
    bool good = order_step(call, order, "held", fault) && order_leave_plans(call, order, answer, fault) &&
                order_parts_release(call, order, false, answer, &parts, fault) &&
                order_parts_hand_on(call, parts, answer, fault) &&
                desk_announce(call, "order.held", json_pack("{s:s}", "order", order->number), fault);
    json_decref(parts);
    return good;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    return order_give_up(call, "held", hold, fault);
}

const struct desk_verb desk_verb_order_hold = {"order.hold", ROLE_DESK | ROLE_MANAGER, DESK_CHANGES,
                                               "Holds an order: its pieces leave their plans, its "
                                               "reservations go to others, what was picked stays in its box.",
                                               run};
