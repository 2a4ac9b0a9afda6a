/* Writes a bar or an offcut off: lost, damaged, or not worth its place. SPDX-License-Identifier: Apache-2.0
 */
#include "desk/labels.h"
#include "desk/statement.h"
#include "desk/subject.h"

#include <inttypes.h>
#include <string.h>

static bool check_bar(const struct store_rows *rows, struct fault *fault) {
    if (rows_count(rows) != 1)
        return fault_set(fault, "not-found", "bar", "There is no such bar or offcut; check its code.");
    if (strcmp(rows_text(rows, 0, 0), "on-rack") != 0)
        return fault_set(fault, "step-not-allowed", "bar",
                         "It is %s; only what lies on the rack can be written off.", rows_text(rows, 0, 0));
    return rows_is_null(rows, 0, 3) ||
           fault_set(fault, "bar-in-plan", "bar", "Plan %" PRId64 " counts on it; drop that plan first.",
                     rows_integer(rows, 0, 3));
}

static bool find_bar(struct desk_call *call, int64_t bar, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, bar);
    if (!store_run(call->session, &query_rack_lock, &values, &rows, fault))
        return false;
    bool good = check_bar(&rows, fault);
    rows_free(&rows);
    return good;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    char reason[300];
    struct form form;
    form_open(&form, call->body, "", fault);
    int64_t bar = subject_read(&form, "bar", SUBJECT(CODE_BAR) | SUBJECT(CODE_OFFCUT));
    form_text(&form, "reason", reason, sizeof reason);
    if (!form_close(&form) || !labels_refuse_void(call, fault) || !find_bar(call, bar, fault) ||
        !desk_reason(call, reason, fault) || !statement_for(call, &query_rack_write_off, bar, fault))
        return NULL;
    json_t *answer = json_pack("{s:I, s:s}", "bar", (json_int_t)bar, "state", "written-off");
    if (answer == NULL)
        fault_memory(fault);
    return answer;
}

const struct desk_verb desk_verb_rack_write_off = {
    "rack.write-off", ROLE_SAW | ROLE_MANAGER, DESK_CHANGES,
    "Takes a bar or an offcut off the rack for good, with the reason.", run};
