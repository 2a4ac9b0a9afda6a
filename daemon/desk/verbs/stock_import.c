/* A table of quantities, all of it or nothing. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"
#include "desk/stock_steps.h"

enum { IMPORT_LINES = 20000, SHOWN = 1000, BOOKED_AT_ONCE = 2000 };

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

typedef json_t *lot_step(struct desk_call *call, const json_t *lot, struct fault *fault);

/* The ledger entries that a lot of changes makes. */
static json_t *entries_of(struct desk_call *call, const json_t *lot, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, lot);
    return statement_json(call, &query_stock_import_entries, &values, fault);
}

/* They go to the store in lots, so that no single statement takes long. All that `step` answers: a new list; NULL and fault. */
static json_t *in_lots(struct desk_call *call, lot_step *step, const json_t *all, struct fault *fault) {
    json_t *answers = json_array();
    bool good = true;
    for (size_t from = 0; good && from < json_array_size(all); from += BOOKED_AT_ONCE) {
        json_t *lot = json_array();
        for (size_t i = from; i < json_array_size(all) && i < from + BOOKED_AT_ONCE; i++)
            json_array_append(lot, json_array_get(all, i));
        json_t *answer = step(call, lot, fault);
        good = answer != NULL && (json_array_extend(answers, answer) == 0 || fault_memory(fault));
        json_decref(answer);
        json_decref(lot);
    }
    if (good)
        return answers;
    json_decref(answers);
    return NULL;
}

static bool book(struct desk_call *call, const json_t *parts, const json_t *changes, json_t *answer,
                 struct fault *fault) {
    json_t *entries = in_lots(call, entries_of, changes, fault);
    json_t *given_up = entries == NULL ? NULL : in_lots(call, stock_take_away, entries, fault);
    json_t *handed = given_up == NULL ? NULL : stock_hand_on(call, parts, 0, fault);
    bool good = handed != NULL;
    if (good)
        good = (json_object_set(answer, "entries", json_object_get(answer, "changed")) == 0 &&
                json_object_set(answer, "given_up", given_up) == 0 &&
                json_object_set(answer, "handed_on", handed) == 0) ||
               fault_memory(fault);
    json_decref(handed);
    json_decref(given_up);
    json_decref(entries);
    return good;
}

/* The first of the changes, without what only the store understands. */
static json_t *shown_changes(const json_t *changes) {
    json_t *shown = json_array();
    for (size_t i = 0; i < json_array_size(changes) && i < SHOWN; i++) {
        json_t *change = json_copy(json_array_get(changes, i));
        json_object_del(change, "part_id");
        json_object_del(change, "bin_id");
        json_object_del(change, "delta");
        json_array_append_new(shown, change);
    }
    return shown;
}

static json_t *import(struct desk_call *call, bool dry_run, struct fault *fault) {
    json_t *parts = desk_read(call, &query_stock_import_lock, "lines", fault);
    json_t *found = parts == NULL ? NULL : desk_read(call, &query_stock_import_changes, "lines", fault);
    const json_t *changes = json_object_get(found, "changes");
    json_t *answer = found == NULL
                         ? NULL
                         : json_pack("{s:b, s:O, s:I, s:o}", "dry_run", (int)dry_run, "lines",
                                     json_object_get(found, "lines"), "changed",
                                     (json_int_t)json_array_size(changes), "changes", shown_changes(changes));
    if (answer != NULL && !dry_run && !book(call, parts, changes, answer, fault)) {
        json_decref(answer);
        answer = NULL;
    } else if (found != NULL && answer == NULL) {
        fault_memory(fault);
    }
    json_decref(found);
    json_decref(parts);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[STOCK_REASON];
    bool dry_run;
    if (!read_import(call->body, reason, &dry_run, fault) || !desk_reason(call, reason, fault))
        return NULL;
    return import(call, dry_run, fault);
}

const struct desk_verb desk_verb_stock_import = {"stock.import", ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
                                                 "Brings stock to a table of quantities by adjustments, all "
                                                 "or nothing; with dry_run it only says what would change.",
                                                 run};
