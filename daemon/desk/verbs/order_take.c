/* Takes an order: every window worked out, pieces into the pool, parts reserved.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"
#include "desk/order_windows.h"
#include "desk/statement.h"
#include "takeoff/order_file.h"

static bool insert_order(struct desk_call *call, const struct order_file *order, int64_t *id,
                         struct fault *fault) {
    json_t *head = json_pack("{s:s, s:s, s:s, s:I, s:s, s:s}", "order", order->order, "customer",
                             order->customer, "due", order->due, "priority", (json_int_t)order->priority,
                             "notes", order->notes, "unit", order->unit);
    if (head == NULL)
        return fault_memory(fault);
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_json(&values, head);
    bool good = store_run(call->session, &query_order_insert, &values, &rows, fault);
    json_decref(head);
    if (!good)
        return false;
    bool fresh = rows_count(&rows) == 1;
    if (fresh)
        *id = rows_integer(&rows, 0, 0);
    rows_free(&rows);
    return fresh || fault_set(fault, "order-exists", "order",
                              "Order %s was taken before; give this one another number.", order->order);
}

static json_t *take(struct desk_call *call, const struct order_file *order, struct fault *fault) {
    int64_t version, id;
    if (order->due[0] == '\0') {
        fault_set(fault, "missing-field", "due",
                  "Say by which day the order is needed, as in \"2026-12-04\".");
        return NULL;
    }
    json_t *windows = order_windows_work_out(call, json_object_get(call->body, "windows"), &version, fault);
    if (windows == NULL)
        return NULL;
    bool good = insert_order(call, order, &id, fault) &&
                order_windows_insert(call, id, version, windows, fault) &&
                order_parts_reserve(call, id, fault) &&
                desk_announce(call, "order.taken", json_pack("{s:s}", "order", order->order), fault);
    json_decref(windows);
    return good ? order_document(call, order->order, fault) : NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct order_file *order = order_file_read(call->body, fault);
    if (order == NULL)
        return NULL;
    json_t *answer = take(call, order, fault);
    order_file_free(order);
    return answer;
}

const struct desk_verb desk_verb_order_take = {
    "order.take", ROLE_DESK, DESK_CHANGES_UNDER_LOCKS,
    "Takes an order: works out every window, puts its pieces into the pool, reserves parts.", run};
