/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    return form_close(&form) ? desk_answer_of(call, &query_station_list, "stations", fault) : NULL;
}

const struct desk_verb desk_verb_station_list = {
    "station.list", ROLE_ANY, DESK_READS,
    "The stations: what they print, how their printer stands, what waits there.", run};
