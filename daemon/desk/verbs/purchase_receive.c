/* Goods come in against a purchase: parts go into bins and on to the kits that wait for them, bars on the rack.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/purchase_steps.h"
#include "desk/rack_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

#include <stdio.h>

enum { BARS_MOST = 100 };

struct delivery {
    struct purchase_subject purchase;
    const json_t *lines; /* parts, as stock.receive takes them; borrowed */
    json_t *bars;        /* as the statements of the rack take them; owned */
    bool over;
};

static bool read_bars(struct form *form, struct delivery *delivery, struct fault *fault) {
    const json_t *bars = form_array(form, "bars", 0, BARS_MOST);
    char path[128];
    for (size_t i = 0; i < json_array_size(bars); i++) {
        struct rack_arrival arrival = {.kind = "bar"};
        struct form bar;
        form_open(&bar, json_array_get(bars, i), form_below(form, "bars", (long)i, path), fault);
        rack_arrival_read(&bar, &arrival);
        if (!form_close(&bar))
            return false;
        json_t *document = rack_arrival_document(&arrival, fault);
        if (document == NULL || json_array_append_new(delivery->bars, document) != 0)
            return false;
    }
    return true;
}

static bool read_delivery(const json_t *body, struct delivery *delivery, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    purchase_read(&form, &delivery->purchase);
    delivery->over = form_boolean_or(&form, "over", false);
    if (!stock_receipt_read(&form, 0, fault) || !read_bars(&form, delivery, fault))
        return false;
    delivery->lines = json_object_get(body, "lines");
    if (json_array_size(delivery->lines) + json_array_size(delivery->bars) == 0)
        form_wrong(&form, "lines", "missing-field",
                   "Name the parts in \"lines\" or the bars in \"bars\" that came.");
    if (delivery->purchase.reason[0] == '\0')
        snprintf(delivery->purchase.reason, sizeof delivery->purchase.reason, "purchase %lld came in",
                 (long long)delivery->purchase.id);
    return form_close(&form);
}

/* Lets these goods go beyond what was ordered, when the request says so. */
static bool keep_over(struct desk_call *call, const struct delivery *delivery, const json_t *goods,
                      struct fault *fault) {
    if (!delivery->over || json_array_size(goods) == 0)
        return true;
    struct store_values values = {0};
    store_integer(&values, delivery->purchase.id);
    store_json(&values, goods);
    store_integer(&values, call->workshop);
    return store_run_nothing(call->session, &query_purchase_keep_over, &values, fault);
}

static bool check_foreign(const json_t *booked, const struct delivery *delivery, struct fault *fault) {
    const char *code = json_string_value(json_array_get(json_object_get(booked, "foreign"), 0));
    return code == NULL || fault_set(fault, "not-on-purchase", "lines",
                                     "Purchase %lld has no line for %s; take it in with stock.receive.",
                                     (long long)delivery->purchase.id, code);
}

/* Writes the ledger and the receipts. `parts` are locked. */
static bool book_parts(struct desk_call *call, const struct delivery *delivery, const json_t *entries,
                       const json_t *parts, json_t *answer, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, delivery->purchase.id);
    store_json(&values, entries);
    json_t *booked = statement_json(call, &query_purchase_receive_parts, &values, fault);
    bool good = booked != NULL && check_foreign(booked, delivery, fault);
    json_t *handed = good ? stock_hand_on(call, parts, 0, fault) : NULL;
    good = handed != NULL && json_object_set(answer, "entries", json_object_get(booked, "entries")) == 0 &&
           json_object_set(answer, "handed_on", handed) == 0;
    json_decref(handed);
    json_decref(booked);
    return good;
}

static bool receive_parts(struct desk_call *call, const struct delivery *delivery, json_t *answer,
                          struct fault *fault) {
    if (json_array_size(delivery->lines) == 0)
        return true;
    json_t *parts = desk_read(call, &query_stock_lock_lines, "lines", fault);
    json_t *entries = parts == NULL ? NULL : desk_read(call, &query_stock_receive_entries, "lines", fault);
    bool good = entries != NULL && keep_over(call, delivery, delivery->lines, fault) &&
                book_parts(call, delivery, entries, parts, answer, fault);
    json_decref(entries);
    json_decref(parts);
    return good;
}

static bool receive_bars_alike(struct desk_call *call, const struct delivery *delivery, const json_t *bars,
                               json_t *all, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, bars);
    json_t *added = statement_json(call, &query_rack_add, &values, fault);
    if (added == NULL)
        return false;
    store_integer(&values, delivery->purchase.id);
    store_json(&values, added);
    json_t *received = statement_json(call, &query_purchase_receive_bars, &values, fault);
    bool good = received != NULL;
    if (good && json_integer_value(received) != (json_int_t)json_array_size(added))
        good =
            fault_set(fault, "not-on-purchase", "bars",
                      "Purchase %lld has no line for these bars of %s; take them in with rack.add.",
                      (long long)delivery->purchase.id, json_string_value(json_object_get(bars, "system")));
    good = good && (json_array_extend(all, added) == 0 || fault_memory(fault));
    json_decref(received);
    json_decref(added);
    return good;
}

static bool receive_bars(struct desk_call *call, const struct delivery *delivery, json_t *answer,
                         struct fault *fault) {
    json_t *all = json_object_get(answer, "bars");
    if (!keep_over(call, delivery, delivery->bars, fault))
        return false;
    for (size_t i = 0; i < json_array_size(delivery->bars); i++)
        if (!receive_bars_alike(call, delivery, json_array_get(delivery->bars, i), all, fault))
            return false;
    return rack_arrival_label(call, all, json_object_get(answer, "labels"), fault);
}

/* When nothing more is to come, the purchase is received. */
static bool settle(struct desk_call *call, const struct delivery *delivery, json_t *answer,
                   struct fault *fault) {
    bool some, open;
    if (!purchase_came(call, &delivery->purchase, &some, &open, fault) ||
        (!open && !purchase_step(call, &delivery->purchase, "received", fault)))
        return false;
    json_t *document = purchase_document(call, delivery->purchase.id, fault);
    return document != NULL &&
           (json_object_set_new(answer, "purchase", document) == 0 || fault_memory(fault));
}

static json_t *receive(struct desk_call *call, const struct delivery *delivery, struct fault *fault) {
    json_t *answer = json_pack("{s:i, s:{s:i, s:[], s:[]}, s:[], s:[]}", "entries", 0, "handed_on",
                               "reserved", 0, "orders", "short", "bars", "labels");
    if (answer == NULL) {
        fault_memory(fault);
        return NULL;
    }
    if (receive_parts(call, delivery, answer, fault) && receive_bars(call, delivery, answer, fault) &&
        settle(call, delivery, answer, fault))
        return answer;
    json_decref(answer);
    return NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct delivery delivery = {.bars = json_array()};
    json_t *answer = NULL;
    if (delivery.bars == NULL)
        fault_memory(fault);
    else if (read_delivery(call->body, &delivery, fault) &&
             purchase_lock_in(call, &delivery.purchase, "ordered", "not-ordered", fault))
        answer = receive(call, &delivery, fault);
    json_decref(delivery.bars);
    return answer;
}

const struct desk_verb desk_verb_purchase_receive = {
    "purchase.receive", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES,
    "Takes in what came of a purchase: parts into bins and on to waiting kits, bars on the rack.", run};
