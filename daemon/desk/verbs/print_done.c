/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    return print_step(call, "printed", "a person has the labels", fault);
}

const struct desk_verb desk_verb_print_done = {"print.done", ROLE_SAW | ROLE_STORES | ROLE_DESK, DESK_CHANGES,
                                               "Says that the labels of a held print job did come out.", run};
