/* A manager changes a proposal: its supplier, quantities and prices; lines are dropped or added.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/purchase_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

enum { PRICE_MOST = 1000000000 };

struct change {
    struct purchase_subject purchase;
    char supplier[41];
    const json_t *lines; /* borrowed; NULL for none */
    const json_t *drop;
    json_t *add; /* with lengths in tenths; owned */
};

static bool check_line(const json_t *line, const char *path, struct fault *fault) {
    struct form form;
    form_open(&form, line, path, fault);
    form_integer(&form, "line", 1, INT64_MAX);
    if (form_number_or(&form, "quantity", 0, STOCK_QUANTITY_MAX, 1) <= 0)
        form_wrong(&form, "quantity", "out-of-range", "To buy none of it, drop the line.");
    form_integer_or(&form, "price", 0, PRICE_MOST, 0);
    return form_close(&form);
}

/* A new line, as the statement takes it, goes to `lines`. */
static bool read_new_line(const json_t *line, const char *path, json_t *lines, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], system[41] = "", finish[41] = "";
    ell_length length = 0;
    form_open(&form, line, path, fault);
    form_text_or(&form, "part", part, sizeof part, "");
    if (part[0] == '\0') {
        form_text(&form, "system", system, sizeof system);
        form_text(&form, "finish", finish, sizeof finish);
        length = form_length(&form, "length", 10 * ELL_MM, 20000 * ELL_MM);
    }
    double quantity = form_number(&form, "quantity", 0, STOCK_QUANTITY_MAX);
    if (quantity <= 0)
        form_wrong(&form, "quantity", "out-of-range", "A line buys something.");
    int64_t price = form_integer_or(&form, "price", 0, PRICE_MOST, -1);
    if (!form_close(&form))
        return false;
    json_t *made = part[0] != '\0' ? json_pack("{s:s, s:f}", "part", part, "quantity", quantity)
                                   : json_pack("{s:s, s:s, s:I, s:f}", "system", system, "finish", finish,
                                               "length", (json_int_t)length, "quantity", quantity);
    if (made != NULL && price >= 0)
        json_object_set_new(made, "price", json_integer(price));
    return json_array_append_new(lines, made) == 0 || fault_memory(fault);
}

static bool read_change(const json_t *body, struct change *change, struct fault *fault) {
    struct form form;
    char path[128];
    form_open(&form, body, "", fault);
    purchase_read(&form, &change->purchase);
    form_text_or(&form, "supplier", change->supplier, sizeof change->supplier, "");
    change->lines = form_array(&form, "lines", 0, PURCHASE_LINES);
    change->drop = form_array(&form, "drop", 0, PURCHASE_LINES);
    for (size_t i = 0; i < json_array_size(change->lines); i++)
        if (!check_line(json_array_get(change->lines, i), form_below(&form, "lines", (long)i, path), fault))
            return false;
    for (size_t i = 0; i < json_array_size(change->drop); i++)
        if (!json_is_integer(json_array_get(change->drop, i)))
            form_wrong(&form, "drop", "wrong-type", "Numbers of lines are wanted.");
    const json_t *add = form_array(&form, "add", 0, PURCHASE_LINES);
    for (size_t i = 0; i < json_array_size(add); i++)
        if (!read_new_line(json_array_get(add, i), form_below(&form, "add", (long)i, path), change->add,
                           fault))
            return false;
    return form_close(&form);
}

static bool set_supplier(struct desk_call *call, const struct change *change, struct fault *fault) {
    bool found;
    if (change->supplier[0] == '\0')
        return true;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, change->purchase.id);
    store_text(&values, change->supplier);
    return statement_found(call, &query_purchase_set_supplier, &values, &found, fault) &&
           (found || fault_set(fault, "unknown-supplier", "supplier", "The catalogue has no supplier %s.",
                               change->supplier));
}

/* Runs a statement for `lines`, each of which must be one of the purchase's. */
static bool for_lines(struct desk_call *call, const struct query *query, int64_t purchase,
                      const json_t *lines, const char *field, struct fault *fault) {
    if (json_array_size(lines) == 0)
        return true;
    struct store_values values = {0};
    store_integer(&values, purchase);
    store_json(&values, lines);
    json_t *count = statement_json(call, query, &values, fault);
    if (count == NULL)
        return false;
    bool all = json_integer_value(count) == (json_int_t)json_array_size(lines);
    json_decref(count);
    return all ||
           fault_set(
               fault, "not-found", field,
               "A line named here is not of purchase %lld, or is named twice; purchase.show lists its lines.",
               (long long)purchase);
}

static bool add_lines(struct desk_call *call, const struct change *change, struct fault *fault) {
    if (json_array_size(change->add) == 0)
        return true;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, change->purchase.id);
    store_json(&values, change->add);
    json_t *count = statement_json(call, &query_purchase_add_lines, &values, fault);
    if (count == NULL)
        return false;
    bool all = json_integer_value(count) == (json_int_t)json_array_size(change->add);
    json_decref(count);
    return all || fault_set(fault, "unknown-system", "add",
                            "The catalogue has no bars of a system, finish and length named here.");
}

static json_t *change_all(struct desk_call *call, struct change *change, struct fault *fault) {
    int64_t purchase = change->purchase.id;
    return purchase_lock_in(call, &change->purchase, "proposed", "purchase-settled", fault) &&
                   set_supplier(call, change, fault) &&
                   for_lines(call, &query_purchase_change_lines, purchase, change->lines, "lines", fault) &&
                   for_lines(call, &query_purchase_drop_lines, purchase, change->drop, "drop", fault) &&
                   add_lines(call, change, fault)
               ? purchase_document(call, purchase, fault)
               : NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct change change = {.add = json_array()};
    json_t *answer = NULL;
    if (change.add == NULL)
        fault_memory(fault);
    else if (read_change(call->body, &change, fault))
        answer = change_all(call, &change, fault);
    json_decref(change.add);
    return answer;
}

const struct desk_verb desk_verb_purchase_change = {
    "purchase.change", ROLE_MANAGER, DESK_CHANGES,
    "Changes a proposal: who supplies it, quantities and prices; lines are dropped or added.", run};
