/* What to buy now, and why: each part and bar length with its demand, reorder point and proposed quantity.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/reordering.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct reordering practice;
    struct form form;
    form_open(&form, call->body, "", fault);
    reordering_read(&form, &practice);
    bool due_only = form_boolean_or(&form, "due_only", false);
    if (!form_close(&form))
        return NULL;
    json_t *lines = reordering_lines(call, &practice, due_only, fault);
    return lines == NULL ? NULL : json_pack("{s:f, s:o}", "service", practice.service, "lines", lines);
}

const struct desk_verb desk_verb_reorder_list = {
    .name = "reorder.list",
    .roles = ROLE_MANAGER,
    .effect = DESK_READS,
    .summary = "What to buy now: demand, reorder point, safety stock and proposed quantity of each part and "
               "bar length",
    .run = run,
};
