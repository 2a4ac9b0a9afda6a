/* From one bin into another. SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static bool check_line(const json_t *line, const char *path, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], from[SCAN_FIELD], to[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, line, path, fault);
    form_text(&form, "part", part, sizeof part);
    form_text(&form, "from", from, sizeof from);
    form_text(&form, "to", to, sizeof to);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    if (form_number(&form, "quantity", 0, STOCK_QUANTITY_MAX) <= 0)
        form_wrong(&form, "quantity", "out-of-range", "Move at least something.");
    return form_close(&form);
}

static bool read_move(const json_t *body, char reason[STOCK_REASON], struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    form_text_or(&form, "reason", reason, STOCK_REASON, "moved to another bin");
    return stock_lines_read(&form, 1, check_line, fault) && form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[STOCK_REASON];
    if (!read_move(call->body, reason, fault) || !desk_reason(call, reason, fault))
        return NULL;
    return stock_change(call, &query_stock_move_entries, fault);
}

const struct desk_verb desk_verb_stock_move = {"stock.move", ROLE_STORES | ROLE_MANAGER,
                                               DESK_CHANGES_UNDER_LOCKS,
                                               "Moves stock between bins; reservations follow.", run};
