/* What is there is not what the books say. SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static bool check_line(const json_t *line, const char *path, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], bin[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, line, path, fault);
    form_text(&form, "part", part, sizeof part);
    form_text(&form, "bin", bin, sizeof bin);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    bool counted = form_has(&form, "counted"), by = form_has(&form, "by");
    form_number_or(&form, "counted", 0, STOCK_QUANTITY_MAX, 0);
    form_number_or(&form, "by", -STOCK_QUANTITY_MAX, STOCK_QUANTITY_MAX, 0);
    if (counted == by)
        form_wrong(&form, "counted", "one-of-two", "Give either what was counted or by how much it changes.");
    return form_close(&form);
}

static bool read_adjustment(const json_t *body, char reason[STOCK_REASON], struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    form_text(&form, "reason", reason, STOCK_REASON);
    return stock_lines_read(&form, 1, check_line, fault) && form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[STOCK_REASON];
    if (!read_adjustment(call->body, reason, fault) || !desk_reason(call, reason, fault))
        return NULL;
    return stock_change(call, &query_stock_adjust_entries, fault);
}

const struct desk_verb desk_verb_stock_adjust = {
    "stock.adjust", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Corrects stock to what was counted, or by a difference, with a reason; kits that lose parts get others.",
    run};
