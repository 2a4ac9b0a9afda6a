/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"

#include "common/text.h"
#include "desk/print_again.h"
#include "desk/statement.h"

#include <inttypes.h>
#include <string.h>

bool print_lock(struct desk_call *call, int64_t job, struct print_subject *subject, struct fault *fault) {
    json_t *row = statement_json_of(call, &query_print_lock, job, fault);
    if (row == NULL)
        return false;
    bool found = json_is_object(row);
    if (!found) {
        fault_set(fault, "not-found", "job", "There is no print job %" PRId64 " here.", job);
    } else {
        *subject = (struct print_subject){
            .job = job,
            .labels = json_integer_value(json_object_get(row, "labels")),
            .done = json_integer_value(json_object_get(row, "done")),
            .held = strcmp(json_string_value(json_object_get(row, "state")), "held") == 0,
            .unsure = json_is_true(json_object_get(row, "unsure"))};
        text_copy(subject->station, sizeof subject->station,
                  json_string_value(json_object_get(row, "station")));
    }
    json_decref(row);
    return found;
}

json_t *print_become(struct desk_call *call, const struct print_subject *subject, const char *state,
                     const char *reason, int64_t done, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, subject->job);
    store_text(&values, state);
    store_text(&values, reason);
    if (done >= 0)
        store_integer(&values, done);
    else
        store_null(&values);
    call->wakes_printers = true;
    json_t *answer = statement_json(call, &query_print_step, &values, fault);
    if (answer != NULL && desk_announce(call, "print.state", json_deep_copy(answer), fault))
        return answer;
    json_decref(answer);
    return NULL;
}

json_t *print_as_reprints(struct desk_call *call, const struct print_subject *subject, const char *station,
                          struct fault *fault) {
    int64_t first = 0;
    json_t *over = print_become(call, subject, "cancelled", "printed again as reprints", -1, fault);
    json_decref(over);
    if (over == NULL || !print_again(call->session, call->workshop, subject->job, station, &first, fault))
        return NULL;
    json_t *answer =
        json_pack("{s:I, s:s, s:s, s:s, s:I}", "job", (json_int_t)first, "state", "queued", "station",
                  station, "message", "the labels are marked as reprints; those that came out are void",
                  "instead_of", (json_int_t)subject->job);
    if (answer == NULL)
        fault_memory(fault);
    return answer;
}

json_t *print_step(struct desk_call *call, const char *state, const char *otherwise, struct fault *fault) {
    struct form form;
    struct print_subject subject;
    char reason[300];
    form_open(&form, call->body, "", fault);
    int64_t job = form_integer(&form, "job", 1, INT64_MAX);
    form_text_or(&form, "reason", reason, sizeof reason, otherwise);
    if (!form_close(&form) || !desk_reason(call, reason, fault) || !print_lock(call, job, &subject, fault))
        return NULL;
    return print_become(call, &subject, state, reason, -1, fault);
}
