/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    return form_close(&form) ? desk_answer_of(call, &query_bin_list, "bins", fault) : NULL;
}

const struct desk_verb desk_verb_bin_list = {"bin.list", ROLE_ANY, DESK_READS,
                                             "The bins in the order of the walk.", run};
