/* One order as JSON. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/order_file.h"

#include "common/document.h"

#include <stdlib.h>
#include <string.h>

static void windows_read(struct form *form, struct order_file *order) {
    const json_t *array = form_array(form, "windows", 1, ORDER_WINDOWS);
    if (array == NULL)
        return;
    order->windows = calloc(json_array_size(array), sizeof *order->windows);
    if (order->windows == NULL) {
        form_wrong(form, "windows", "out-of-memory", "There is not enough memory for this order.");
        return;
    }
    for (size_t i = 0; i < json_array_size(array) && !form->failed; i++) {
        char path[128];
        struct survey *window = &order->windows[i];
        form->failed = !survey_read(json_array_get(array, i), form_below(form, "windows", (long)i, path),
                                    window, form->fault);
        for (size_t j = 0; j < i && !form->failed; j++)
            if (strcmp(order->windows[j].window, window->window) == 0)
                form_wrong(form, path, "twice-named",
                           "Window \"%s\" is in this order twice; give each its own name.", window->window);
    }
    order->window_count = json_array_size(array);
}

struct order_file *order_file_read(const json_t *json, struct fault *fault) {
    struct order_file *order = calloc(1, sizeof *order);
    if (order == NULL) {
        fault_memory(fault);
        return NULL;
    }
    static const char *const units[] = {"mm", "cm", "in", NULL};
    struct form form;
    form_open(&form, json, "", fault);
    form_text(&form, "order", order->order, sizeof order->order);
    form_text(&form, "customer", order->customer, sizeof order->customer);
    form_date_or(&form, "due", order->due, "");
    order->priority = form_integer_or(&form, "priority", 0, 9, 5);
    form_text_or(&form, "notes", order->notes, sizeof order->notes, "");
    order->unit = units[form_choice_or(&form, "unit", units, 0)];
    windows_read(&form, order);
    if (form_close(&form))
        return order;
    order_file_free(order);
    return NULL;
}

void order_file_free(struct order_file *order) {
    if (order == NULL)
        return;
    free(order->windows);
    free(order);
}
