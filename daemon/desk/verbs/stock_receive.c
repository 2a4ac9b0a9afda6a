/* Goods come in. SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static bool check_line(const json_t *line, const char *path, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], bin[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, line, path, fault);
    form_text(&form, "part", part, sizeof part);
    form_text(&form, "bin", bin, sizeof bin);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    if (form_number(&form, "quantity", 0, STOCK_QUANTITY_MAX) <= 0)
        form_wrong(&form, "quantity", "out-of-range",
                   "A receipt brings something; to correct stock use stock.adjust.");
    return form_close(&form);
}

static bool read_receipt(const json_t *body, char reason[STOCK_REASON], struct fault *fault) {
    static const char *const kinds[] = {"receipt", "opening", NULL};
    struct form form;
    char path[128];
    form_open(&form, body, "", fault);
    form_choice_or(&form, "kind", kinds, 0);
    form_text_or(&form, "reason", reason, STOCK_REASON, "goods came in");
    const json_t *lines = form_array(&form, "lines", 1, STOCK_LINES);
    for (size_t i = 0; i < json_array_size(lines); i++)
        if (!check_line(json_array_get(lines, i), form_below(&form, "lines", (long)i, path), fault))
            return false;
    return form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[STOCK_REASON];
    if (!read_receipt(call->body, reason, fault) || !desk_reason(call, reason, fault))
        return NULL;
    return stock_change(call, &query_stock_receive_entries, fault);
}

const struct desk_verb desk_verb_stock_receive = {
    "stock.receive", ROLE_STORES | ROLE_MANAGER, true,
    "Books goods into bins and hands them on to the kits that wait for them.", run};
