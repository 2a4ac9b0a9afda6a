/* The print queues there are, and which label stock each takes. SPDX-License-Identifier: Apache-2.0 */
#include "desk/inner.h"
#include "desk/statement.h"

#include "common/text.h"
#include "label/stock.h"
#include "print/print.h"

#include <stdlib.h>
#include <string.h>

enum { FOUND_PATIENCE_MS = 3000, FOUND_MOST = 200 };

static json_t *size(ell_length width, ell_length height) {
    char across[ELL_LENGTH_TEXT], along[ELL_LENGTH_TEXT];
    return json_sprintf("%s x %s", ell_length_text(width, across), ell_length_text(height, along));
}

static json_t *sizes(const struct print_size *list, size_t count) {
    json_t *all = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(all, size(list[i].width, list[i].height));
    return all;
}

/* The codes of the stocks that the queue can print on. */
static json_t *stocks_for(const struct print_queue *queue, const json_t *stocks) {
    json_t *fitting = json_array();
    size_t index;
    json_t *document;
    json_array_foreach((json_t *)stocks, index, document) {
        struct label_stock stock;
        struct fault fault;
        if (label_stock_read(document, "label_stock", &stock, &fault) &&
            print_queue_takes(queue, label_stock_page_width(&stock), label_stock_page_height(&stock)) !=
                PRINT_FITS_NOT)
            json_array_append_new(fitting, json_string(stock.code));
    }
    return fitting;
}

static json_t *stations_at(const struct print_queue *queue, const json_t *stations) {
    json_t *found = json_array();
    size_t index;
    json_t *station;
    json_array_foreach((json_t *)stations, index, station) {
        const char *name = json_string_value(json_object_get(station, "queue"));
        if (name != NULL && strcmp(name, queue->name) == 0)
            json_array_append(found, json_object_get(station, "station"));
    }
    return found;
}

static json_t *describe(const struct print_queue *queue, const json_t *known) {
    json_t *resolutions = json_array();
    for (size_t i = 0; i < queue->resolution_count; i++)
        json_array_append_new(resolutions, json_integer(queue->resolutions[i]));
    json_t *row = json_pack(
        "{s:s, s:s, s:s, s:s, s:i, s:b, s:i, s:o, s:i, s:b, s:o, s:o, s:o}", "queue", queue->name, "model",
        queue->model, "state", print_queue_state_name(queue->state), "message", queue->words, "waiting",
        queue->waiting, "takes_pdf", (int)queue->takes_pdf, "dots_per_inch", queue->dots_per_inch,
        "resolutions", resolutions, "copies", queue->most_copies, "turns", (int)queue->turns, "sizes",
        sizes(queue->sizes, queue->size_count), "stocks", stocks_for(queue, json_object_get(known, "stocks")),
        "stations", stations_at(queue, json_object_get(known, "stations")));
    if (row != NULL && queue->most.width > 0)
        json_object_set_new(row, "any_size_to", size(queue->most.width, queue->most.height));
    return row;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    struct print_server server = {.patience = FOUND_PATIENCE_MS};
    struct print_queue *queues = NULL;
    size_t count = 0;
    form_open(&form, call->body, "", fault);
    if (!form_close(&form))
        return NULL;
    text_copy(server.name, sizeof server.name, call->desk->cups_server);
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    json_t *known = statement_json(call, &query_station_known, &values, fault);
    json_t *rows = NULL;
    if (known != NULL && print_queue_list(&server, &queues, &count, fault)) {
        rows = json_array();
        for (size_t i = 0; i < count && i < FOUND_MOST; i++)
            json_array_append_new(rows, describe(&queues[i], known));
    }
    free(queues);
    json_decref(known);
    return rows == NULL ? NULL : json_pack("{s:o}", "queues", rows);
}

const struct desk_verb desk_verb_station_found = {
    "station.found", ROLE_ANY, DESK_READS,
    "The print queues that the daemon can reach, what they can do, and which label stock each takes.", run};
