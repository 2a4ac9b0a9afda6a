/* What to buy now, and why: each part and bar length with its demand, reorder point and proposed quantity.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/reordering.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct reordering practice;
    struct form form;
    char after[120];
    form_open(&form, call->body, "", fault);
    reordering_read(&form, &practice);
    form_text_or(&form, "after", after, sizeof after, "");
    form_integer_or(&form, "limit", 1, 1000, 100);
    bool due_only = form_boolean_or(&form, "due_only", false);
    return form_close(&form) ? reordering_page(call, call->body, &practice, due_only, 0, fault) : NULL;
}

const struct desk_verb desk_verb_reorder_list = {
    .name = "reorder.list",
    .roles = ROLE_MANAGER,
    .effect = DESK_READS,
    .summary = "What to buy now: demand, reorder point, safety stock and proposed quantity of each part and "
               "bar length",
    .run = run,
};
