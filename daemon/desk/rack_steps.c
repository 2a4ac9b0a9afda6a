/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/rack_steps.h"

#include "desk/labels.h"
#include "desk/statement.h"

#include <stdio.h>
#include <string.h>

void rack_arrival_read(struct form *form, struct rack_arrival *arrival) {
    form_text(form, "system", arrival->system, sizeof arrival->system);
    form_text(form, "finish", arrival->finish, sizeof arrival->finish);
    arrival->length = form_length(form, "length", 10 * ELL_MM, 20000 * ELL_MM);
    arrival->count = form_integer_or(form, "count", 1, 500, 1);
    form_text_or(form, "batch", arrival->batch, sizeof arrival->batch, "");
    form_text_or(form, "place", arrival->place, sizeof arrival->place, "");
    arrival->squared = form_boolean_or(form, "squared", false);
}

void rack_arrival_read_kind(struct form *form, struct rack_arrival *arrival) {
    static const char *const kinds[] = {"bar", "offcut", NULL};
    arrival->kind = kinds[form_choice(form, "kind", kinds)];
}

/* The field within the arrival at `path`, "" for the request itself. */
static const char *place(const char *path, const char *field, char where[64]) {
    snprintf(where, 64, "%.40s%s%s", path, path[0] != '\0' ? "." : "", field);
    return where;
}

bool rack_arrival_check(struct desk_call *call, const struct rack_arrival *arrival, const char *path,
                        struct fault *fault) {
    char where[64];
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_text(&values, arrival->system);
    store_text(&values, arrival->finish);
    store_integer(&values, arrival->length);
    if (!store_run(call->session, &query_rack_kind, &values, &rows, fault))
        return false;
    bool made = rows_boolean(&rows, 0, 0), bought = rows_boolean(&rows, 0, 1);
    rows_free(&rows);
    if (!made)
        return fault_set(fault, "unknown-system", place(path, "system", where),
                         "The catalogue has no system %s in the finish %s.", arrival->system,
                         arrival->finish);
    return strcmp(arrival->kind, "bar") != 0 || bought ||
           fault_set(
               fault, "check-measure", place(path, "length", where),
               "The catalogue has no bar of this length for %s. Measure again, or enter it as an offcut.",
               arrival->system);
}

json_t *rack_arrival_document(const struct rack_arrival *arrival, struct fault *fault) {
    json_t *document = json_pack("{s:s, s:s, s:s, s:I, s:I, s:s, s:s, s:b}", "kind", arrival->kind, "system",
                                 arrival->system, "finish", arrival->finish, "length",
                                 (json_int_t)arrival->length, "count", (json_int_t)arrival->count, "batch",
                                 arrival->batch, "place", arrival->place, "squared", (int)arrival->squared);
    if (document == NULL)
        fault_memory(fault);
    return document;
}

json_t *rack_arrival_add(struct desk_call *call, const struct rack_arrival *arrival, struct fault *fault) {
    json_t *row = rack_arrival_document(arrival, fault);
    if (row == NULL)
        return NULL;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, row);
    json_t *added = statement_json(call, &query_rack_add, &values, fault);
    json_decref(row);
    return added;
}

bool rack_arrival_label(struct desk_call *call, const json_t *added, json_t *answers, struct fault *fault) {
    json_t *ids = json_array();
    for (size_t i = 0; i < json_array_size(added); i++)
        json_array_append(ids, json_object_get(json_array_get(added, i), "bar"));
    bool good = ids == NULL ? fault_memory(fault) : labels_ask_rack(call, ids, answers, fault);
    json_decref(ids);
    return good;
}
