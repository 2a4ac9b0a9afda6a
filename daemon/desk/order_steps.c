/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"

#include "common/text.h"
#include "desk/parcel_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

#include <string.h>

bool order_lock(struct desk_call *call, struct order_subject *order, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_text(&values, order->number);
    if (!store_run(call->session, &query_order_lock, &values, &rows, fault))
        return false;
    bool found = rows_count(&rows) == 1;
    if (found) {
        order->id = rows_integer(&rows, 0, 0);
        text_copy(order->state, sizeof order->state, rows_text(&rows, 0, 1));
        text_copy(order->number, sizeof order->number, rows_text(&rows, 0, 2));
    }
    rows_free(&rows);
    return found || fault_set(fault, "not-found", "order", "There is no order %s here; check its number.",
                              order->number);
}

bool order_open(struct desk_call *call, bool reason_wanted, struct order_subject *order,
                struct fault *fault) {
    *order = (struct order_subject){0};
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text(&form, "order", order->number, sizeof order->number);
    if (reason_wanted)
        form_text(&form, "reason", order->reason, sizeof order->reason);
    else
        form_text_or(&form, "reason", order->reason, sizeof order->reason, "");
    return form_close(&form) && order_lock(call, order, fault) && desk_reason(call, order->reason, fault);
}

bool order_step(struct desk_call *call, const struct order_subject *order, const char *state,
                struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, order->id);
    store_text(&values, state);
    bool stepped;
    if (!statement_found(call, &query_order_set_state, &values, &stepped, fault))
        return false;
    return stepped ||
           fault_set(fault, "step-not-allowed", "order", "Order %s is %s already.", order->number, state);
}

/* Sorts the plans that hold pieces of the order still to be cut: ready ones into `ready`, released ones into `released`. */
static bool list_plans(struct desk_call *call, const struct order_subject *order, json_t *ready,
                       json_t *released, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, order->id);
    if (!store_run(call->session, &query_order_plans, &values, &rows, fault))
        return false;
    for (int i = 0; i < rows_count(&rows); i++)
        json_array_append_new(strcmp(rows_text(&rows, i, 1), "ready") == 0 ? ready : released,
                              json_integer(rows_integer(&rows, i, 0)));
    rows_free(&rows);
    return true;
}

static bool drop_plans(struct desk_call *call, const json_t *plans, struct fault *fault) {
    if (json_array_size(plans) == 0)
        return true;
    struct store_values values = {0};
    store_json(&values, plans);
    return store_run_nothing(call->session, &query_plan_drop, &values, fault);
}

/* The saw has paper of these plans that is no longer right. */
static bool announce_changes(struct desk_call *call, const json_t *plans, struct fault *fault) {
    bool good = true;
    for (size_t i = 0; good && i < json_array_size(plans); i++)
        good =
            desk_announce(call, "plan.changed", json_pack("{s:O}", "plan", json_array_get(plans, i)), fault);
    return good;
}

bool order_leave_plans(struct desk_call *call, const struct order_subject *order, json_t *answer,
                       struct fault *fault) {
    json_t *ready = json_array(), *released = json_array();
    if (json_object_set_new(answer, "plans_dropped", ready) != 0 ||
        json_object_set_new(answer, "plans_changed", released) != 0)
        return fault_memory(fault);
    if (!list_plans(call, order, ready, released, fault) || !drop_plans(call, ready, fault) ||
        !announce_changes(call, released, fault))
        return false;
    json_t *left = statement_json_for(call, &query_plan_leave_bars, order->id, fault);
    if (left == NULL)
        return false;
    json_object_set(answer, "pieces_recalled", json_object_get(left, "pieces"));
    json_decref(left);
    return true;
}

static bool put_back_picked(struct desk_call *call, const struct order_subject *order, json_t *answer,
                            struct fault *fault) {
    json_t *carried = statement_json_of(call, &query_kit_put_back_order, order->id, fault);
    if (carried == NULL)
        return false;
    json_object_set_new(answer, "put_back", carried);
    return true;
}

bool order_parts_release(struct desk_call *call, const struct order_subject *order, bool put_back,
                         json_t *answer, json_t **parts, struct fault *fault) {
    json_t *locked = statement_json_of(call, &query_reservation_lock, order->id, fault);
    if (locked == NULL)
        return false;
    json_t *given_up = NULL;
    bool good =
        (!put_back || put_back_picked(call, order, answer, fault)) &&
        (given_up = statement_json_of(call, &query_reservation_release_order, order->id, fault)) != NULL;
    if (good) {
        json_object_set_new(answer, "reservations_given_up", given_up);
        *parts = locked;
    } else {
        json_decref(locked);
    }
    return good;
}

bool order_parts_hand_on(struct desk_call *call, const json_t *parts, json_t *answer, struct fault *fault) {
    json_t *reserved = stock_reserve(call, parts, 0, fault);
    if (reserved == NULL)
        return false;
    json_object_set_new(answer, "helped", json_incref(json_object_get(reserved, "orders")));
    json_decref(reserved);
    return true;
}

bool order_parts_reserve(struct desk_call *call, int64_t order, struct fault *fault) {
    json_t *parts = statement_json_of(call, &query_reservation_lock, order, fault);
    if (parts == NULL)
        return false;
    json_t *reserved = stock_reserve(call, parts, order, fault);
    json_decref(parts);
    json_decref(reserved);
    return reserved != NULL;
}

bool order_pack_again(struct desk_call *call, int64_t order, json_t *answer, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, order);
    if (!store_run(call->session, &query_order_packed_again, &values, &rows, fault))
        return false;
    bool close = rows_count(&rows) == 1 && !rows_boolean(&rows, 0, 0);
    rows_free(&rows);
    if (!close)
        return true;
    json_t *labels = json_object_get(answer, "labels");
    if (labels == NULL && json_object_set_new(answer, "labels", labels = json_array()) != 0)
        return fault_memory(fault);
    return parcels_close(call, order, labels, fault);
}

json_t *order_document(struct desk_call *call, const char *number, struct fault *fault) {
    return statement_document(call, &query_order_show, json_pack("{s:s}", "order", number), fault);
}

/* Said here in the order's own number; the database, which would refuse it too, knows its id only. */
static bool may_give_up(const struct order_subject *order, const char *state, struct fault *fault) {
    if (strcmp(order->state, state) == 0)
        return fault_set(fault, "step-not-allowed", "order", "Order %s is %s already.", order->number, state);
    if (strcmp(order->state, "dispatched") == 0)
        return fault_set(
            fault, "step-not-allowed", "order",
            "Order %s is dispatched and cannot be %s. Parts that come back go in with `stock receive`, track "
            "with `rack add`.",
            order->number, state);
    if (strcmp(order->state, "cancelled") == 0)
        return fault_set(fault, "step-not-allowed", "order",
                         "Order %s is cancelled and cannot be %s; take it anew under another number.",
                         order->number, state);
    return true;
}

json_t *order_give_up(struct desk_call *call, const char *state,
                      bool (*change)(struct desk_call *call, const struct order_subject *order,
                                     json_t *answer, struct fault *fault),
                      struct fault *fault) {
    struct order_subject order;
    if (!order_open(call, true, &order, fault) || !may_give_up(&order, state, fault))
        return NULL;
    json_t *answer = json_pack("{s:s, s:s}", "order", order.number, "state", state);
    if (answer == NULL) {
        fault_memory(fault);
        return NULL;
    }
    if (change(call, &order, answer, fault))
        return answer;
    json_decref(answer);
    return NULL;
}
