/* A cut piece joins its kit. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char kit[SCAN_FIELD], piece[SCAN_FIELD];
    form_open(&form, call->body, "", fault);
    form_text(&form, "kit", kit, sizeof kit);
    form_text(&form, "piece", piece, sizeof piece);
    if (!form_close(&form) || !desk_reason(call, "scanned with its kit", fault))
        return NULL;
    return kit_match_piece(call, "matched", fault);
}

const struct desk_verb desk_verb_kit_match = {
    "kit.match", ROLE_STORES, DESK_CHANGES_UNDER_LOCKS,
    "Matches a cut piece with the kit of its window; any other piece is refused.", run};
