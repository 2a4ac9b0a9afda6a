/* Puts bars that came in, or an offcut that was found, on the rack. SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"
#include "desk/statement.h"

struct arrival {
    char system[41], finish[41], batch[41], place[41], reason[300];
    ell_length length;
    int64_t count;
    int kind;
    bool squared;
};

static const char *const kinds[] = {"bar", "offcut", NULL};

static bool read_arrival(const json_t *body, struct arrival *arrival, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    arrival->kind = form_choice(&form, "kind", kinds);
    form_text(&form, "system", arrival->system, sizeof arrival->system);
    form_text(&form, "finish", arrival->finish, sizeof arrival->finish);
    arrival->length = form_length(&form, "length", 10 * ELL_MM, 20000 * ELL_MM);
    arrival->count = form_integer_or(&form, "count", 1, 500, 1);
    form_text_or(&form, "batch", arrival->batch, sizeof arrival->batch, "");
    form_text_or(&form, "place", arrival->place, sizeof arrival->place, "");
    form_text_or(&form, "reason", arrival->reason, sizeof arrival->reason, "");
    arrival->squared = form_boolean_or(&form, "squared", false);
    return form_close(&form);
}

static bool check_arrival(struct desk_call *call, const struct arrival *arrival, struct fault *fault) {
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
        return fault_set(fault, "unknown-system", "system",
                         "The catalogue has no system %s in the finish %s.", arrival->system,
                         arrival->finish);
    return arrival->kind != 0 || bought ||
           fault_set(
               fault, "check-measure", "length",
               "The catalogue has no bar of this length for %s. Measure again, or enter it as an offcut.",
               arrival->system);
}

static json_t *add_rows(struct desk_call *call, const struct arrival *arrival, struct fault *fault) {
    json_t *row = json_pack("{s:s, s:s, s:s, s:I, s:I, s:s, s:s, s:b}", "kind", kinds[arrival->kind],
                            "system", arrival->system, "finish", arrival->finish, "length",
                            (json_int_t)arrival->length, "count", (json_int_t)arrival->count, "batch",
                            arrival->batch, "place", arrival->place, "squared", (int)arrival->squared);
    if (row == NULL) {
        fault_memory(fault);
        return NULL;
    }
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, row);
    json_t *added = statement_json(call, &query_rack_add, &values, fault);
    json_decref(row);
    return added;
}

static json_t *ids_of(const json_t *added) {
    json_t *ids = json_array();
    for (size_t i = 0; i < json_array_size(added); i++)
        json_array_append(ids, json_object_get(json_array_get(added, i), "bar"));
    return ids;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct arrival arrival;
    if (!read_arrival(call->body, &arrival, fault) || !check_arrival(call, &arrival, fault) ||
        !desk_reason(call, arrival.reason, fault))
        return NULL;
    json_t *added = add_rows(call, &arrival, fault);
    json_t *answer = added == NULL ? NULL : json_pack("{s:o, s:[]}", "bars", added, "labels");
    if (answer == NULL)
        return NULL;
    json_t *ids = ids_of(added);
    bool good = labels_ask_rack(call, ids, json_object_get(answer, "labels"), fault);
    json_decref(ids);
    if (good)
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_rack_add = {
    "rack.add", ROLE_SAW | ROLE_STORES | ROLE_MANAGER, true,
    "Puts bars that came in, or offcuts that were found, on the rack.", run};
