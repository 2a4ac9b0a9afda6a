/* Puts bars that came in, or an offcut that was found, on the rack. SPDX-License-Identifier: Apache-2.0 */
#include "desk/rack_steps.h"

static bool read_arrival(const json_t *body, struct rack_arrival *arrival, char reason[300],
                         struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    rack_arrival_read_kind(&form, arrival);
    rack_arrival_read(&form, arrival);
    form_text_or(&form, "reason", reason, 300, "");
    return form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct rack_arrival arrival;
    char reason[300];
    if (!read_arrival(call->body, &arrival, reason, fault) ||
        !rack_arrival_check(call, &arrival, "", fault) || !desk_reason(call, reason, fault))
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
