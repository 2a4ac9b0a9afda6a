/* The steps that taking, holding, resuming and cancelling an order have in common. Each works in the call's
 * transaction. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_ORDER_STEPS_H
#define ELLWAND_DESK_ORDER_STEPS_H

#include "desk/verb.h"

struct order_subject {
    char number[48]; /* as people call it */
    char reason[300];
    int64_t id;
    char state[24];
};

/* Reads the body {"order", "reason"} (the reason may be left out unless `reason_wanted`), finds and locks the
 * order, and sets the reason for the history. fault "not-found". */
bool order_open(struct desk_call *call, bool reason_wanted, struct order_subject *order,
                struct fault *fault) MUST_CHECK;

/* Finds and locks the order whose number or scan code stands in `order`, and fills in the rest but its reason. Fault "not-found". */
bool order_lock(struct desk_call *call, struct order_subject *order, struct fault *fault) MUST_CHECK;

/* Steps the order to `state`; fault "step-not-allowed", also when it is that already. */
bool order_step(struct desk_call *call, const struct order_subject *order, const char *state,
                struct fault *fault) MUST_CHECK;

/* The saw's side: ready plans with pieces of this order are dropped ("plans_dropped" in `answer`), pieces released but not cut
 * leave their bars ("pieces_recalled"), which changes their plans ("plans_changed"). */
bool order_leave_plans(struct desk_call *call, const struct order_subject *order, json_t *answer,
                       struct fault *fault) MUST_CHECK;

/* The stores' side: the parts of the order's kits are locked, its reservations given up, and with `put_back`
 * what was picked is booked back ("put_back" in `answer`: where to carry it). Call order_parts_hand_on once
 * its state has changed: what became free goes to the orders that are short of it ("helped" in `answer`). */
bool order_parts_release(struct desk_call *call, const struct order_subject *order, bool put_back,
                         json_t *answer, json_t **parts, struct fault *fault) MUST_CHECK;
bool order_parts_hand_on(struct desk_call *call, const json_t *parts, json_t *answer,
                         struct fault *fault) MUST_CHECK;

/* Reserves for this order what is free. */
bool order_parts_reserve(struct desk_call *call, int64_t order, struct fault *fault) MUST_CHECK;

/* A taken order whose kits are all packed is packed again, and its parcels are closed where none is: their labels are asked for
 * ("labels" in `answer`). */
bool order_pack_again(struct desk_call *call, int64_t order, json_t *answer, struct fault *fault) MUST_CHECK;

/* Everything of the order goes back where it came from, and it is cancelled: pieces leave their plans or go on the rack ("offcuts",
 * "labels" in `answer`), parts as order_parts_release says, its parcels are opened. For a transaction that locked the order. */
bool order_cancel(struct desk_call *call, const struct order_subject *order, json_t *answer,
                  struct fault *fault) MUST_CHECK;

/* The order as order.show gives it. */
json_t *order_document(struct desk_call *call, const char *number, struct fault *fault) MUST_CHECK;

/* Opens the order of the body, whose reason must be given, and lets `change` bring it to `state` and say in the answer
 * {"order", "state", ...} what became of its parts. The answer, a new reference; NULL and fault when it fails. */
json_t *order_give_up(struct desk_call *call, const char *state,
                      bool (*change)(struct desk_call *call, const struct order_subject *order,
                                     json_t *answer, struct fault *fault),
                      struct fault *fault);

#endif
