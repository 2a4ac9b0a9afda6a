/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    return print_step(call, "cancelled", "not wanted any more", fault);
}

const struct desk_verb desk_verb_print_cancel = {"print.cancel", ROLE_SAW | ROLE_STORES | ROLE_DESK,
                                                 DESK_CHANGES, "Gives up a held or waiting print job.", run};
