/* A whole delivery of bars and offcuts. SPDX-License-Identifier: Apache-2.0 */
#include "desk/rack_steps.h"

#include <stdio.h>

enum { ARRIVALS_MOST = 500, BARS_MOST = 2000 };

static bool check_count(const json_t *added, const char *path, struct fault *fault) {
    return json_array_size(added) <= BARS_MOST ||
           fault_set(fault, "out-of-range", path,
                     "At most %d bars go on the rack at once; load the rest after them.", BARS_MOST);
}

static bool add_one(struct desk_call *call, const json_t *given, const char *path, json_t *added,
                    struct fault *fault) {
    struct rack_arrival arrival;
    struct form form;
    form_open(&form, given, path, fault);
    rack_arrival_read_kind(&form, &arrival);
    rack_arrival_read(&form, &arrival);
    if (!form_close(&form) || !rack_arrival_check(call, &arrival, path, fault))
        return false;
    json_t *rows = rack_arrival_add(call, &arrival, fault);
    bool good = rows != NULL && (json_array_extend(added, rows) == 0 || fault_memory(fault));
    json_decref(rows);
    return good && check_count(added, path, fault);
}

static bool add_all(struct desk_call *call, const json_t *arrivals, json_t *answer, struct fault *fault) {
    json_t *added = json_object_get(answer, "bars");
    for (size_t i = 0; i < json_array_size(arrivals); i++) {
        char path[32];
        snprintf(path, sizeof path, "bars[%zu]", i);
        if (!add_one(call, json_array_get(arrivals, i), path, added, fault))
            return false;
    }
    return rack_arrival_label(call, added, json_object_get(answer, "labels"), fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char reason[300];
    form_open(&form, call->body, "", fault);
    const json_t *arrivals = form_array(&form, "bars", 1, ARRIVALS_MOST);
    form_text_or(&form, "reason", reason, sizeof reason, "");
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *answer = json_pack("{s:[], s:[]}", "bars", "labels");
    if (answer == NULL)
        fault_memory(fault);
    else if (add_all(call, arrivals, answer, fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_rack_load = {
    "rack.load", ROLE_SAW | ROLE_STORES | ROLE_MANAGER, DESK_CHANGES,
    "Puts a whole delivery of bars and offcuts on the rack: all of it or nothing, its labels in one go.",
    run};
