/* Takes an order: every window worked out, pieces into the pool, parts reserved.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"
#include "desk/statement.h"
#include "takeoff/order_file.h"
#include "takeoff/takeoff.h"

#include <stdio.h>

static json_t *copy(const json_t *object, const char *name) {
    return json_incref(json_object_get(object, name));
}

/* What order/insert_windows.sql wants of one window; NULL and fault when it cannot be made. */
static json_t *work_out(const json_t *survey, size_t index, const struct catalogue *catalogue,
                        struct fault *fault) {
    char path[32];
    snprintf(path, sizeof path, "windows[%zu]", index);
    json_t *takeoff = takeoff_run(survey, path, catalogue, fault);
    if (takeoff == NULL)
        return NULL;
    json_t *window = json_pack(
        "{s:I, s:o?, s:o?, s:o?, s:o?, s:o?, s:O, s:O}", "position", (json_int_t)index + 1, "window",
        copy(takeoff, "window"), "room", copy(takeoff, "room"), "system", copy(takeoff, "system"), "finish",
        copy(takeoff, "finish"), "corded", copy(takeoff, "corded"), "survey", survey, "takeoff", takeoff);
    json_decref(takeoff);
    if (window == NULL)
        fault_memory(fault);
    return window;
}

static json_t *work_out_all(const json_t *surveys, const struct catalogue *catalogue, struct fault *fault) {
    json_t *windows = json_array();
    if (windows == NULL)
        fault_memory(fault);
    for (size_t i = 0; windows != NULL && i < json_array_size(surveys); i++) {
        json_t *window = work_out(json_array_get(surveys, i), i, catalogue, fault);
        if (window == NULL || json_array_append_new(windows, window) != 0) {
            json_decref(windows);
            windows = NULL;
        }
    }
    return windows;
}

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

static bool insert_windows(struct desk_call *call, int64_t order, int64_t version, const json_t *windows,
                           struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, order);
    store_integer(&values, version);
    store_json(&values, windows);
    if (!store_run(call->session, &query_order_insert_windows, &values, &rows, fault))
        return false;
    bool known = rows_is_null(&rows, 0, 1);
    if (!known)
        fault_set(fault, "unknown-part", "windows", "The catalogue in the store lacks these parts: %s.",
                  rows_text(&rows, 0, 1));
    rows_free(&rows);
    return known;
}

static json_t *take(struct desk_call *call, const struct order_file *order, struct fault *fault) {
    int64_t version, id;
    if (order->due[0] == '\0') {
        fault_set(fault, "missing-field", "due",
                  "Say by which day the order is needed, as in \"2026-12-04\".");
        return NULL;
    }
    const struct catalogue *catalogue = desk_catalogue(call, &version, fault);
    if (catalogue == NULL)
        return NULL;
    json_t *windows = work_out_all(json_object_get(call->body, "windows"), catalogue, fault);
    if (windows == NULL)
        return NULL;
    bool good = insert_order(call, order, &id, fault) && insert_windows(call, id, version, windows, fault) &&
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
