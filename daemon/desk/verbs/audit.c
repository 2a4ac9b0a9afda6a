/* Do the invariants hold? SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"

static const struct {
    int number;
    const char *says;
    const struct query *query;
} invariants[] = {
    {1, "length balance of every bar, to the tenth", &query_audit_balance},
    {2, "stock on hand is the sum of its ledger; reserved is within it", &query_audit_stock},
    {3, "pieces, bars and reservations are in one place at a time", &query_audit_one_plan},
    {4, "every request that changed something has its answer", &query_audit_requests},
    {5, "labels are printed once, or marked as reprints", &query_audit_labels},
    {6, "no corded kit without its tension pulley; no kit short", &query_audit_kits},
    {7, "every state was reached by allowed steps", &query_audit_history},
    {8, "what reports read is the sum of ledger, orders, cuts and rack", &query_audit_sums},
    {9, "stock-takes are booked as counted, and approved by another", &query_audit_stock_takes},
};

/* Adds what one statement found to both lists. */
static bool take(json_t *checked, json_t *findings, size_t which, json_t *found) {
    int number = invariants[which].number;
    size_t index;
    json_t *finding;
    json_array_foreach(json_object_get(found, "findings"), index, finding) {
        if (json_object_set_new(finding, "invariant", json_integer(number)) != 0 ||
            json_array_append(findings, finding) != 0)
            return false;
    }
    return json_array_append_new(
               checked, json_pack("{s:i, s:s, s:O, s:I}", "invariant", number, "says", invariants[which].says,
                                  "checked", json_object_get(found, "checked"), "findings",
                                  (json_int_t)json_array_size(json_object_get(found, "findings")))) == 0;
}

enum { INVARIANTS = sizeof invariants / sizeof invariants[0] };

/* All of them, or with `only` above 0 that one. */
static bool check(struct desk_call *call, int64_t only, json_t *checked, json_t *findings,
                  struct fault *fault) {
    for (size_t i = 0; i < INVARIANTS; i++) {
        if (only > 0 && invariants[i].number != only)
            continue;
        json_t *found = statement_json_for(call, invariants[i].query, call->workshop, fault);
        if (found == NULL)
            return false;
        bool taken = take(checked, findings, i, found);
        json_decref(found);
        if (!taken)
            return fault_memory(fault);
    }
    return true;
}

/* What a caller who asks one by one asks for next; null after the last, and where all were asked for. */
static json_t *next_after(int64_t only) {
    return only > 0 && only < INVARIANTS ? json_pack("{s:i, s:i, s:s}", "invariant", invariants[only].number,
                                                     "of", (int)INVARIANTS, "says", invariants[only].says)
                                         : json_null();
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    int64_t only = form_integer_or(&form, "invariant", 1, INVARIANTS, 0);
    if (!form_close(&form))
        return NULL;
    json_t *checked = json_array(), *findings = json_array(), *answer = NULL;
    if (check(call, only, checked, findings, fault)) {
        answer = json_pack("{s:b, s:O, s:O, s:o}", "clean", json_array_size(findings) == 0, "checked",
                           checked, "findings", findings, "next", next_after(only));
        if (answer == NULL)
            fault_memory(fault);
    }
    json_decref(findings);
    json_decref(checked);
    return answer;
}

const struct desk_verb desk_verb_audit = {
    "audit", ROLE_ANY, DESK_READS_EVERYTHING,
    "Checks every invariant on the live database and lists what breaks one, at most 100 for each.", run};
