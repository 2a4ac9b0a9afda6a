/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"

#include "desk/statement.h"

json_t *print_step(struct desk_call *call, const char *state, const char *otherwise, struct fault *fault) {
    struct form form;
    char reason[300];
    form_open(&form, call->body, "", fault);
    form_integer(&form, "job", 1, INT64_MAX);
    form_text_or(&form, "reason", reason, sizeof reason, otherwise);
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *job = desk_read(call, &query_print_lock, "job", fault);
    if (job == NULL)
        return NULL;
    struct store_values values = {0};
    store_integer(&values, json_integer_value(job));
    store_text(&values, state);
    store_text(&values, reason);
    json_decref(job);
    call->wakes_printers = true;
    json_t *answer = statement_json(call, &query_print_step, &values, fault);
    if (answer != NULL && desk_announce(call, "print.state", json_deep_copy(answer), fault))
        return answer;
    json_decref(answer);
    return NULL;
}
