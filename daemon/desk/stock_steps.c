/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

#include "desk/statement.h"

static bool check_receipt(const json_t *line, const char *path, struct fault *fault) {
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

bool stock_lines_read(struct form *form, size_t least,
                      bool (*check)(const json_t *line, const char *path, struct fault *fault),
                      struct fault *fault) {
    char path[128];
    const json_t *lines = form_array(form, "lines", least, STOCK_LINES);
    for (size_t i = 0; i < json_array_size(lines); i++)
        if (!check(json_array_get(lines, i), form_below(form, "lines", (long)i, path), fault))
            return false;
    return true;
}

bool stock_receipt_read(struct form *form, size_t least, struct fault *fault) {
    return stock_lines_read(form, least, check_receipt, fault);
}

static bool of_entries(struct desk_call *call, const struct query *query, const json_t *entries,
                       struct fault *fault) {
    struct store_values values = {0};
    store_json(&values, entries);
    return store_run_nothing(call->session, query, &values, fault);
}

bool stock_book(struct desk_call *call, const json_t *entries, struct fault *fault) {
    return of_entries(call, &query_ledger_book, entries, fault);
}

static bool tell_who_was_helped(struct desk_call *call, const json_t *handed, struct fault *fault) {
    json_t *orders = json_object_get(handed, "orders");
    return json_array_size(orders) == 0 ||
           desk_announce(call, "stock.handed-on", json_pack("{s:O}", "orders", orders), fault);
}

json_t *stock_hand_on(struct desk_call *call, const json_t *parts, int64_t order, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, parts);
    if (order != 0)
        store_integer(&values, order);
    else
        store_null(&values);
    json_t *handed = statement_json(call, &query_reservation_reserve, &values, fault);
    if (handed != NULL && tell_who_was_helped(call, handed, fault))
        return handed;
    json_decref(handed);
    return NULL;
}

/* Takes over nothing; `parts` are locked. */
static json_t *book_and_hand_on(struct desk_call *call, const json_t *parts, const json_t *entries,
                                struct fault *fault) {
    if (!of_entries(call, &query_stock_give_up, entries, fault) || !stock_book(call, entries, fault))
        return NULL;
    json_t *handed = stock_hand_on(call, parts, 0, fault);
    if (handed == NULL)
        return NULL;
    json_t *answer =
        json_pack("{s:I, s:o}", "entries", (json_int_t)json_array_size(entries), "handed_on", handed);
    if (answer == NULL)
        fault_memory(fault);
    return answer;
}

json_t *stock_change(struct desk_call *call, const struct query *entries, struct fault *fault) {
    json_t *parts = desk_read(call, &query_stock_lock_lines, "lines", fault);
    json_t *booked = parts == NULL ? NULL : desk_read(call, entries, "lines", fault);
    json_t *answer = booked == NULL ? NULL : book_and_hand_on(call, parts, booked, fault);
    json_decref(booked);
    json_decref(parts);
    return answer;
}
