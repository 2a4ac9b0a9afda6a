/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    const json_t *kits = form_array(&form, "kits", 1, 40);
    for (size_t i = 0; i < json_array_size(kits); i++)
        if (!json_is_string(json_array_get(kits, i)))
            form_wrong(&form, "kits", "wrong-type", "Name each kit by its scan code or as ORDER/WINDOW.");
    return form_close(&form) ? desk_answer_of(call, &query_kit_show, "kits", fault) : NULL;
}

const struct desk_verb desk_verb_kit_show = {
    "kit.show", ROLE_ANY, DESK_READS,
    "Kits with pieces and parts, and one walk through the bins that picks all of them.", run};
