/* A part goes from its bin into a kit. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/stock_steps.h"

static bool read_pick(const json_t *body, struct fault *fault) {
    struct form form;
    char kit[SCAN_FIELD], part[SCAN_FIELD], bin[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, body, "", fault);
    form_text(&form, "kit", kit, sizeof kit);
    form_text(&form, "part", part, sizeof part);
    form_text(&form, "bin", bin, sizeof bin);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    form_number_or(&form, "quantity", 0, STOCK_QUANTITY_MAX, 0);
    return form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct kit kit;
    bool complete = false;
    if (!read_pick(call->body, fault) || !desk_reason(call, "picked for its kit", fault) ||
        !kit_open(call, &kit, fault) ||
        !kit_move_parts(call, &kit, &query_kit_pick_entries, &query_kit_start, fault) ||
        !kit_step(call, &query_kit_finish, &kit, &complete, fault))
        return NULL;
    return kit_answer(call, &kit, complete ? "kit.complete" : "kit.picked", fault);
}

const struct desk_verb desk_verb_kit_pick = {"kit.pick", ROLE_STORES, DESK_CHANGES_UNDER_LOCKS,
                                             "Picks a part out of a bin into a kit; without a quantity, all "
                                             "that the kit wants from there. The last one completes it.",
                                             run};
