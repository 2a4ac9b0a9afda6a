/* Resumes a held order. SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"

#include <string.h>

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct order_subject order;
    if (!order_open(call, false, &order, fault))
        return NULL;
    if (strcmp(order.state, "held") != 0) {
        fault_set(fault, "step-not-allowed", "order", "Order %s is %s; only a held one can be resumed.",
                  order.number, order.state);
        return NULL;
    }
    json_t *asked = json_object();
    bool good = order_step(call, &order, "taken", fault) && order_parts_reserve(call, order.id, fault) &&
                order_pack_again(call, order.id, asked, fault) &&
                desk_announce(call, "order.resumed", json_pack("{s:s}", "order", order.number), fault);
    json_decref(asked);
    return good ? order_document(call, order.number, fault) : NULL;
}

const struct desk_verb desk_verb_order_resume = {"order.resume", ROLE_DESK | ROLE_MANAGER, DESK_CHANGES,
                                                 "Resumes a held order and reserves its parts again.", run};
