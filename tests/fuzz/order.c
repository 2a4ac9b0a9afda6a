/* SPDX-License-Identifier: Apache-2.0 */
/* An order as it comes from outside, all the way to its take-off with the demonstration catalogue. */
#include "common/document.h"
#include "demo.h"
#include "fuzz.h"
#include "takeoff/order_file.h"
#include "takeoff/takeoff.h"

/* Whatever was measured: no length is made or lost, and every mark lies on the track. */
static void check_takeoff(const struct takeoff *takeoff) {
    for (size_t i = 0; i < takeoff->split_count; i++) {
        ell_length sum = 0;
        for (size_t piece = 0; piece < takeoff->splits[i].piece_count; piece++) {
            must(takeoff->splits[i].pieces[piece] > 0);
            sum += takeoff->splits[i].pieces[piece];
        }
        must(sum == takeoff->cut_total);
    }
    for (size_t i = 0; i < takeoff->mark_count; i++)
        must(takeoff->marks[i].from_left >= 0 && takeoff->marks[i].from_left <= takeoff->overall);
    for (size_t i = 0; i < takeoff->part_count; i++)
        must(takeoff->parts[i].quantity > 0);
    for (size_t i = 0; i < takeoff->advice_count; i++)
        must(takeoff->advice[i].code && takeoff->advice[i].message[0]);
    json_t *document = takeoff_document(takeoff);
    must(document);
    json_decref(document);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    const struct catalogue *catalogue = demo_catalogue();
    json_t *json = document_read((const char *)data, size, &document_small, &fault);
    if (!json)
        return 0;
    struct order_file *order = order_file_read(json, &fault);
    must(order || (fault.code[0] && fault.message[0]));
    for (size_t i = 0; order && i < order->window_count; i++) {
        struct takeoff *takeoff = NULL;
        if (takeoff_compute(&order->windows[i], catalogue, &takeoff, &fault))
            check_takeoff(takeoff);
        else
            must(fault.code[0] && fault.message[0]);
        takeoff_free(takeoff);
    }
    order_file_free(order);
    json_decref(json);
    return 0;
}
