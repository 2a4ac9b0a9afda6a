/* SPDX-License-Identifier: Apache-2.0 */
/* Orders in CSV: whatever is read is a list of orders that the reader of JSON orders takes too. */
#include "common/document.h"
#include "fuzz.h"
#include "takeoff/order_file.h"

#include <stdlib.h>

static void must(bool holds) {
    if (!holds)
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    json_t *orders = order_csv_read((const char *)data, size, &fault);
    must(orders || (fault.code[0] && fault.message[0]));
    size_t at;
    json_t *json;
    json_array_foreach(orders, at, json) {
        struct order_file *order = order_file_read(json, &fault);
        must(order && order->window_count > 0);
        order_file_free(order);
    }
    json_decref(orders);
    return 0;
}
