/* What the workshop has set. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    return form_close(&form) ? desk_answer_of(call, &query_workshop_show, "workshop", fault) : NULL;
}

const struct desk_verb desk_verb_workshop_show = {
    "workshop.show", ROLE_ANY, DESK_READS,
    "The workshop's settings: what goes back to the rack, what it is worth, and how much the rack holds.",
    run};
