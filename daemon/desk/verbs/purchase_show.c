/* One purchase whole. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    form_integer(&form, "purchase", 1, INT64_MAX);
    return form_close(&form) ? desk_answer_of(call, &query_purchase_show, "purchase", fault) : NULL;
}

const struct desk_verb desk_verb_purchase_show = {
    "purchase.show", ROLE_STORES | ROLE_MANAGER, DESK_READS,
    "One purchase with its lines, what came in against them, and its history.", run};
