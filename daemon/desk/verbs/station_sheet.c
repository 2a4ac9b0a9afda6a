/* A part-used sheet of labels is laid in. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char name[64];
    form_open(&form, call->body, "", fault);
    form_text(&form, "station", name, sizeof name);
    form_integer(&form, "place", 1, 1200);
    return form_close(&form) ? desk_read(call, &query_station_sheet, "station", fault) : NULL;
}

const struct desk_verb desk_verb_station_sheet = {
    "station.sheet", ROLE_SAW | ROLE_STORES | ROLE_DESK | ROLE_MANAGER, DESK_CHANGES,
    "Says at which place of its sheet of labels a station's next job begins.", run};
