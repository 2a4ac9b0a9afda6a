/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    return print_step(call, "queued", "to be printed again", fault);
}

const struct desk_verb desk_verb_print_retry = {
    "print.retry", ROLE_SAW | ROLE_STORES | ROLE_DESK, DESK_CHANGES,
    "Prints a held print job again, or a waiting one at once.", run};
