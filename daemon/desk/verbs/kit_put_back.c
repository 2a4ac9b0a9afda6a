/* A part goes from a kit back into the bin it came from. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/stock_steps.h"

static bool read_put_back(const json_t *body, char reason[STOCK_REASON], struct fault *fault) {
    struct form form;
    char kit[SCAN_FIELD], part[SCAN_FIELD];
    form_open(&form, body, "", fault);
    form_text(&form, "kit", kit, sizeof kit);
    form_text(&form, "part", part, sizeof part);
    form_number_or(&form, "quantity", 0, STOCK_QUANTITY_MAX, 0);
    form_text_or(&form, "reason", reason, STOCK_REASON, "put back");
    return form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct kit kit;
    char reason[STOCK_REASON];
    bool changed = false;
    if (!read_put_back(call->body, reason, fault) || !desk_reason(call, reason, fault) ||
        !kit_open(call, &kit, fault) ||
        !kit_move_parts(call, &kit, &query_kit_put_back_entries, &query_kit_reopen, fault) ||
        !kit_step(call, &query_kit_rest, &kit, &changed, fault))
        return NULL;
    return kit_answer(call, &kit, "kit.put-back", fault);
}

const struct desk_verb desk_verb_kit_put_back = {"kit.put-back", ROLE_STORES, DESK_CHANGES_UNDER_LOCKS,
                                                 "Puts parts of a kit back into the bins they came from.",
                                                 run};
