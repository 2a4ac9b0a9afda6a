/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char name[64];
    form_open(&form, call->body, "", fault);
    form_text(&form, "station", name, sizeof name);
    return form_close(&form) ? desk_read(call, &query_station_remove, "station", fault) : NULL;
}

const struct desk_verb desk_verb_station_remove = {"station.remove", ROLE_MANAGER, DESK_CHANGES,
                                                   "Takes away a station that never printed.", run};
