/* A table of quantities, all of it or nothing. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"
#include "desk/stock_steps.h"

enum { IMPORT_LINES = 200000, SHOWN = 1000, LOT = 2000 };

static bool check_line(const json_t *line, const char *path, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], bin[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, line, path, fault);
    form_text(&form, "part", part, sizeof part);
    form_text(&form, "bin", bin, sizeof bin);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    form_number(&form, "quantity", 0, STOCK_QUANTITY_MAX);
    form_number_or(&form, "booked", 0, STOCK_QUANTITY_MAX, 0);
    return form_close(&form);
}

static bool read_import(const json_t *body, char reason[STOCK_REASON], bool *dry_run, struct fault *fault) {
    struct form form;
    char path[128];
    form_open(&form, body, "", fault);
    *dry_run = form_boolean_or(&form, "dry_run", false);
    form_text_or(&form, "reason", reason, STOCK_REASON, "");
    if (!*dry_run && reason[0] == '\0')
        form_wrong(&form, "reason", "missing-field", "Say why; it stays in the ledger.");
    const json_t *lines = form_array(&form, "lines", 0, IMPORT_LINES);
    for (size_t i = 0; i < json_array_size(lines); i++)
        if (!check_line(json_array_get(lines, i), form_below(&form, "lines", (long)i, path), fault))
            return false;
    return form_close(&form);
}

/* What is known of an import while its lots go to the store one after the other, all in one transaction: no statement takes
 * long, and no more than a lot is held beside what was given. */
struct import {
    bool dry_run;
    json_int_t changed;
    json_t *shown;    /* the first changes, without what only the store understands */
    json_t *given_up; /* by kits */
};

static json_t *ask_lot(struct desk_call *call, const struct query *query, json_t *lot, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, lot);
    return statement_json(call, query, &values, fault);
}

static bool show(struct import *import, const json_t *changes) {
    for (size_t i = 0; i < json_array_size(changes) && json_array_size(import->shown) < SHOWN; i++) {
        json_t *change = json_copy(json_array_get(changes, i));
        json_object_del(change, "part_id");
        json_object_del(change, "bin_id");
        json_object_del(change, "delta");
        if (json_array_append_new(import->shown, change) != 0)
            return false;
    }
    import->changed += (json_int_t)json_array_size(changes);
    return true;
}

static bool book(struct desk_call *call, struct import *import, json_t *changes, struct fault *fault) {
    json_t *entries = ask_lot(call, &query_stock_import_entries, changes, fault);
    json_t *given_up = entries == NULL ? NULL : stock_take_away(call, entries, fault);
    bool good =
        given_up != NULL && (json_array_extend(import->given_up, given_up) == 0 || fault_memory(fault));
    json_decref(given_up);
    json_decref(entries);
    return good;
}

static bool take_lot(struct desk_call *call, struct import *import, size_t first, struct fault *fault) {
    const json_t *all = json_object_get(call->body, "lines");
    json_t *lines = json_array();
    for (size_t i = first; i < json_array_size(all) && i < first + LOT; i++)
        json_array_append(lines, json_array_get(all, i));
    json_t *lot = json_pack("{s:o, s:I}", "lines", lines, "first", (json_int_t)first);
    json_t *changes = lot == NULL ? NULL : ask_lot(call, &query_stock_import_changes, lot, fault);
    bool good = changes != NULL && (show(import, changes) || fault_memory(fault)) &&
                (import->dry_run || json_array_size(changes) == 0 || book(call, import, changes, fault));
    json_decref(changes);
    json_decref(lot);
    return good || (lot == NULL && fault_memory(fault));
}

/* {"entries", "given_up", "handed_on"} go to the answer. */
static bool hand_on(struct desk_call *call, const struct import *import, const json_t *parts, json_t *answer,
                    struct fault *fault) {
    json_t *handed = stock_hand_on(call, parts, 0, fault);
    if (handed == NULL)
        return false;
    bool good = json_object_set_new(answer, "entries", json_integer(import->changed)) == 0 &&
                json_object_set(answer, "given_up", import->given_up) == 0 &&
                json_object_set_new(answer, "handed_on", handed) == 0;
    return good || fault_memory(fault);
}

static json_t *import_all(struct desk_call *call, struct import *import, const json_t *parts,
                          struct fault *fault) {
    size_t count = json_array_size(json_object_get(call->body, "lines"));
    for (size_t first = 0; first < count; first += LOT)
        if (!take_lot(call, import, first, fault))
            return NULL;
    json_t *answer = json_pack("{s:b, s:I, s:I, s:O}", "dry_run", (int)import->dry_run, "lines",
                               (json_int_t)count, "changed", import->changed, "changes", import->shown);
    if (answer == NULL)
        fault_memory(fault);
    if (answer != NULL && !import->dry_run && !hand_on(call, import, parts, answer, fault)) {
        json_decref(answer);
        answer = NULL;
    }
    return answer;
}

static json_t *import(struct desk_call *call, bool dry_run, struct fault *fault) {
    struct import import = {dry_run, 0, json_array(), json_array()};
    json_t *parts = desk_read(call, &query_stock_import_lock, "lines", fault);
    json_t *named = parts == NULL ? NULL : desk_read(call, &query_stock_import_twice, "lines", fault);
    json_t *answer = named == NULL ? NULL : import_all(call, &import, parts, fault);
    json_decref(named);
    json_decref(parts);
    json_decref(import.shown);
    json_decref(import.given_up);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[STOCK_REASON];
    bool dry_run;
    if (!read_import(call->body, reason, &dry_run, fault) || !desk_reason(call, reason, fault))
        return NULL;
    return import(call, dry_run, fault);
}

const struct desk_verb desk_verb_stock_import = {"stock.import", ROLE_MANAGER, DESK_CHANGES_MUCH,
                                                 "Brings stock to a table of quantities by adjustments, all "
                                                 "or nothing; with dry_run it only says what would change.",
                                                 run};
