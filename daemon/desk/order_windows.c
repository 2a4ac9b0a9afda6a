/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_windows.h"

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

json_t *order_windows_work_out(struct desk_call *call, const json_t *surveys, int64_t *version,
                               struct fault *fault) {
    const struct catalogue *catalogue = desk_catalogue(call, version, fault);
    if (catalogue == NULL)
        return NULL;
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

bool order_windows_insert(struct desk_call *call, int64_t id, int64_t version, const json_t *windows,
                          struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, id);
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
