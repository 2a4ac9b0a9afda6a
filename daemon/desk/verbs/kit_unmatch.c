/* A matched piece leaves its kit. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char kit[SCAN_FIELD], piece[SCAN_FIELD], reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    form_text(&form, "kit", kit, sizeof kit);
    form_text(&form, "piece", piece, sizeof piece);
    form_text_or(&form, "reason", reason, sizeof reason, "taken from its kit");
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    return kit_match_piece(call, "cut", fault);
}

const struct desk_verb desk_verb_kit_unmatch = {"kit.unmatch", ROLE_STORES, DESK_CHANGES_UNDER_LOCKS,
                                                "Takes a matched piece from its kit again.", run};
