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
    bool boxes = form_has(&form, "boxes"), quantity = form_has(&form, "quantity");
    form_integer_or(&form, "boxes", 1, STOCK_BOXES_MAX, 1);
    if (form_number_or(&form, "quantity", 0, STOCK_QUANTITY_MAX, 1) <= 0)
        form_wrong(&form, "quantity", "out-of-range",
                   "A receipt brings something; to correct stock use stock.adjust.");
    if (boxes == quantity)
        form_wrong(&form, "quantity", "one-of-two", "Say how many came: either \"quantity\" or \"boxes\".");
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

bool stock_book(struct desk_call *call, const json_t *entries, struct fault *fault) {
    struct store_values values = {0};
    store_json(&values, entries);
    return store_run_nothing(call->session, &query_ledger_book, &values, fault);
}

static bool tell_who_was_helped(struct desk_call *call, const json_t *handed, struct fault *fault) {
    json_t *orders = json_object_get(handed, "orders");
    return json_array_size(orders) == 0 ||
           desk_announce(call, "stock.handed-on", json_pack("{s:O}", "orders", orders), fault);
}

/* What one more round gave, added to what the rounds before did. A round of substitutes counts nothing as reserved itself. */
static bool add_round(json_t *handed, const json_t *more) {
    json_t *orders = json_object_get(handed, "orders");
    const json_t *instead = json_object_get(more, "instead"), *own = json_object_get(more, "reserved");
    size_t index;
    json_t *number;
    json_array_foreach(json_object_get(more, "orders"), index, number) {
        bool known = false;
        for (size_t i = 0; i < json_array_size(orders); i++)
            known = known || json_equal(json_array_get(orders, i), number);
        if (!known && json_array_append(orders, number) != 0)
            return false;
    }
    json_int_t reserved = json_integer_value(json_object_get(handed, "reserved"));
    reserved += own != NULL ? json_integer_value(own) : (json_int_t)json_array_size(instead);
    return json_array_extend(json_object_get(handed, "instead"), (json_t *)instead) == 0 &&
           json_object_set_new(handed, "reserved", json_integer(reserved)) == 0 &&
           json_object_set(handed, "short", json_object_get(more, "short")) == 0;
}

static json_t *ask_for(struct desk_call *call, const struct query *query, const json_t *parts, int64_t order,
                       int64_t place, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, parts);
    if (order != 0)
        store_integer(&values, order);
    else
        store_null(&values);
    if (place != 0)
        store_integer(&values, place);
    return statement_json(call, query, &values, fault);
}

/* What is short of its own part gets what may stand in for it: the first choice for every line, then the second, .. */
static bool reserve_instead(struct desk_call *call, const json_t *parts, int64_t order, json_t *handed,
                            struct fault *fault) {
    bool more = json_array_size(json_object_get(handed, "short")) > 0;
    if (json_object_set_new(handed, "instead", json_array()) != 0)
        return fault_memory(fault);
    for (int64_t place = 1; more; place++) {
        json_t *got = ask_for(call, &query_reservation_substitute, parts, order, place, fault);
        if (got == NULL)
            return false;
        more = json_is_true(json_object_get(got, "more"));
        bool added = add_round(handed, got);
        json_decref(got);
        if (!added)
            return fault_memory(fault);
    }
    return true;
}

static json_t *reserve_round(struct desk_call *call, const json_t *parts, int64_t order,
                             struct fault *fault) {
    json_t *handed = ask_for(call, &query_reservation_reserve, parts, order, 0, fault);
    if (handed == NULL || reserve_instead(call, parts, order, handed, fault))
        return handed;
    json_decref(handed);
    return NULL;
}

/* One round more for what kits give back. */
static bool reserve_what_came_back(struct desk_call *call, const json_t *parts, json_t *handed,
                                   struct fault *fault) {
    json_t *more = reserve_round(call, parts, 0, fault);
    bool good = more != NULL && (add_round(handed, more) || fault_memory(fault));
    json_decref(more);
    return good;
}

/* Kits that nobody has begun get their own part for a substitute; whoever is short gets that, which may again give one back:
 * no line goes back twice, so this ends. A part without substitutes was locked alone. */
static bool return_to_first(struct desk_call *call, const json_t *parts, json_t *handed,
                            struct fault *fault) {
    json_t *all = json_array();
    if (json_object_set_new(handed, "first_choice", all) != 0)
        return fault_memory(fault);
    for (bool more = json_array_size(parts) > 1; more;) {
        struct store_values values = {0};
        store_integer(&values, call->workshop);
        store_json(&values, parts);
        json_t *back = statement_json(call, &query_reservation_first_choice, &values, fault);
        if (back == NULL)
            return false;
        more = json_array_size(back) > 0;
        bool added = json_array_extend(all, back) == 0 || fault_memory(fault);
        json_decref(back);
        if (!added || (more && !reserve_what_came_back(call, parts, handed, fault)))
            return false;
    }
    return true;
}

json_t *stock_reserve(struct desk_call *call, const json_t *parts, int64_t order, struct fault *fault) {
    json_t *handed = reserve_round(call, parts, order, fault);
    if (handed == NULL || order != 0 || return_to_first(call, parts, handed, fault))
        return handed;
    json_decref(handed);
    return NULL;
}

json_t *stock_hand_on(struct desk_call *call, const json_t *parts, int64_t order, struct fault *fault) {
    json_t *handed = stock_reserve(call, parts, order, fault);
    if (handed == NULL || tell_who_was_helped(call, handed, fault))
        return handed;
    json_decref(handed);
    return NULL;
}

json_t *stock_take_away(struct desk_call *call, const json_t *entries, struct fault *fault) {
    struct store_values values = {0};
    store_json(&values, entries);
    json_t *given_up = statement_json(call, &query_stock_give_up, &values, fault);
    if (given_up == NULL || stock_book(call, entries, fault))
        return given_up;
    json_decref(given_up);
    return NULL;
}

json_t *stock_change_by(struct desk_call *call, const json_t *parts, const json_t *entries,
                        struct fault *fault) {
    json_t *given_up = stock_take_away(call, entries, fault);
    if (given_up == NULL)
        return NULL;
    json_t *handed = stock_hand_on(call, parts, 0, fault);
    json_t *answer = handed == NULL
                         ? NULL
                         : json_pack("{s:I, s:O, s:O}", "entries", (json_int_t)json_array_size(entries),
                                     "given_up", given_up, "handed_on", handed);
    if (handed != NULL && answer == NULL)
        fault_memory(fault);
    json_decref(handed);
    json_decref(given_up);
    return answer;
}

json_t *stock_change(struct desk_call *call, const struct query *entries, struct fault *fault) {
    json_t *parts = desk_read(call, &query_stock_lock_lines, "lines", fault);
    json_t *booked = parts == NULL ? NULL : desk_read(call, entries, "lines", fault);
    json_t *answer = booked == NULL ? NULL : stock_change_by(call, parts, booked, fault);
    json_decref(booked);
    json_decref(parts);
    return answer;
}
