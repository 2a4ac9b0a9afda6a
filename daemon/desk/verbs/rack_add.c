/* Puts bars that came in, or an offcut that was found, on the rack. SPDX-License-Identifier: Apache-2.0 */
#include "desk/rack_steps.h"
#include "desk/statement.h"

#include <string.h>

static bool read_arrival(const json_t *body, struct rack_arrival *arrival, char reason[300],
                         struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    rack_arrival_read_kind(&form, arrival);
    rack_arrival_read(&form, arrival);
    form_text_or(&form, "reason", reason, 300, "");
    return form_close(&form);
}

/* Where places are counted an offcut needs a free one; whoever names where it lies knows of one. */
static bool check_room(struct desk_call *call, const struct rack_arrival *arrival, struct fault *fault) {
    struct store_values values = {0};
    bool room = false;
    if (strcmp(arrival->kind, "offcut") != 0 || arrival->place[0] != '\0')
        return true;
    store_integer(&values, call->workshop);
    store_integer(&values, arrival->count);
    return statement_found(call, &query_rack_room, &values, &room, fault) &&
           (room || fault_set(fault, "rack-full", "place",
                              "Every place on the rack is taken. Name the place where it lies, or make room: "
                              "rack.clear-out "
                              "tells which offcuts are least worth keeping."));
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct rack_arrival arrival;
    char reason[300];
    if (!read_arrival(call->body, &arrival, reason, fault) ||
        !rack_arrival_check(call, &arrival, "", fault) || !check_room(call, &arrival, fault) ||
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
