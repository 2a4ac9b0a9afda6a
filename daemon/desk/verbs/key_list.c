/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    return form_close(&form) ? desk_answer_of(call, &query_key_list, "keys", fault) : NULL;
}

const struct desk_verb desk_verb_key_list = {"key.list", ROLE_MANAGER, DESK_READS,
                                             "The client keys with their roles.", run};
