/* Puts bars that came in, or an offcut that was found, on the rack. SPDX-License-Identifier: Apache-2.0 */
#include "desk/rack_steps.h"

#include <string.h>

static bool read_arrival(const json_t *body, struct rack_arrival *arrival, char reason[300],
                         struct fault *fault) {
    static const char *const kinds[] = {"bar", "offcut", NULL};
    struct form form;
    form_open(&form, body, "", fault);
    arrival->kind = kinds[form_choice(&form, "kind", kinds)];
    rack_arrival_read(&form, arrival);
    form_text_or(&form, "reason", reason, 300, "");
    return form_close(&form);
}

static bool check_arrival(struct desk_call *call, const struct rack_arrival *arrival, struct fault *fault) {
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
    return strcmp(arrival->kind, "bar") != 0 || bought ||
           fault_set(
               fault, "check-measure", "length",
               "The catalogue has no bar of this length for %s. Measure again, or enter it as an offcut.",
               arrival->system);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct rack_arrival arrival;
    char reason[300];
    if (!read_arrival(call->body, &arrival, reason, fault) || !check_arrival(call, &arrival, fault) ||
        !desk_reason(call, reason, fault))
        return NULL;
    json_t *added = rack_arrival_add(call, &arrival, fault);
    json_t *answer = added == NULL ? NULL : json_pack("{s:o, s:[]}", "bars", added, "labels");
    if (answer != NULL && rack_arrival_label(call, added, json_object_get(answer, "labels"), fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_rack_add = {
    "rack.add", ROLE_SAW | ROLE_STORES | ROLE_MANAGER, DESK_CHANGES,
    "Puts bars that came in, or offcuts that were found, on the rack.", run};
