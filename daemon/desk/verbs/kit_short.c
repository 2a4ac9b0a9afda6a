/* The bin holds less than the books say: the books follow, and the kit gets what lies elsewhere.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/stock_steps.h"

#include <stdio.h>

static bool read_short(const json_t *body, char reason[STOCK_REASON], struct fault *fault) {
    struct form form;
    char kit[SCAN_FIELD], part[SCAN_FIELD], bin[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, body, "", fault);
    form_text(&form, "kit", kit, sizeof kit);
    form_text(&form, "part", part, sizeof part);
    form_text(&form, "bin", bin, sizeof bin);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    double found = form_number(&form, "found", 0, STOCK_QUANTITY_MAX);
    snprintf(reason, STOCK_REASON, "short pick for kit %s: %.15g found", kit, found);
    return form_close(&form);
}

static json_t *book(struct desk_call *call, const struct kit *kit, struct fault *fault) {
    json_t *parts = desk_read(call, &query_kit_lock_part, "part", fault);
    json_t *entries = parts == NULL ? NULL : kit_ask(call, &query_kit_short_entries, kit, fault);
    json_t *answer = entries == NULL ? NULL : stock_change_by(call, parts, entries, fault);
    json_decref(entries);
    json_decref(parts);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct kit kit;
    char reason[STOCK_REASON];
    if (!read_short(call->body, reason, fault) || !desk_reason(call, reason, fault) ||
        !kit_open(call, &kit, fault))
        return NULL;
    json_t *answer = book(call, &kit, fault);
    json_t *brief = answer == NULL ? NULL : kit_answer(call, &kit, "kit.short", fault);
    if (brief != NULL && json_object_set_new(answer, "kit", brief) == 0)
        return answer;
    if (brief != NULL)
        fault_memory(fault);
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_kit_short = {
    "kit.short", ROLE_STORES, DESK_CHANGES_UNDER_LOCKS,
    "Says that a bin holds less than the books do; the kit gets what lies elsewhere.", run};
