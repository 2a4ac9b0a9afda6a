/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/purchase_steps.h"

#include "common/text.h"
#include "desk/statement.h"

#include <stdio.h>
#include <string.h>

void purchase_read(struct form *form, struct purchase_subject *purchase) {
    purchase->id = form_integer(form, "purchase", 1, INT64_MAX);
    form_text_or(form, "reason", purchase->reason, sizeof purchase->reason, "");
}

bool purchase_lock(struct desk_call *call, struct purchase_subject *purchase, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, purchase->id);
    if (!store_run(call->session, &query_purchase_lock, &values, &rows, fault))
        return false;
    bool found = rows_count(&rows) == 1;
    if (found)
        text_copy(purchase->state, sizeof purchase->state, rows_text(&rows, 0, 0));
    rows_free(&rows);
    if (!found)
        return fault_set(fault, "not-found", "purchase",
                         "There is no purchase %lld here; purchase.list shows all.", (long long)purchase->id);
    return desk_reason(call, purchase->reason, fault);
}

bool purchase_lock_in(struct desk_call *call, struct purchase_subject *purchase, const char *state,
                      const char *code, struct fault *fault) {
    if (!purchase_lock(call, purchase, fault))
        return false;
    return strcmp(purchase->state, state) == 0 ||
           fault_set(fault, code, "purchase", "Purchase %lld is %s; this can be done only while it is %s.",
                     (long long)purchase->id, purchase->state, state);
}

bool purchase_announce(struct desk_call *call, int64_t purchase, const char *state, struct fault *fault) {
    char topic[40];
    snprintf(topic, sizeof topic, "purchase.%s", state);
    return desk_announce(call, topic,
                         json_pack("{s:I, s:s}", "purchase", (json_int_t)purchase, "state", state), fault);
}

bool purchase_step(struct desk_call *call, const struct purchase_subject *purchase, const char *state,
                   struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, purchase->id);
    store_text(&values, state);
    return store_run_nothing(call->session, &query_purchase_step, &values, fault) &&
           purchase_announce(call, purchase->id, state, fault);
}

bool purchase_came(struct desk_call *call, const struct purchase_subject *purchase, bool *some, bool *open,
                   struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, purchase->id);
    if (!store_run(call->session, &query_purchase_came, &values, &rows, fault))
        return false;
    *some = rows_boolean(&rows, 0, 0);
    *open = rows_boolean(&rows, 0, 1);
    rows_free(&rows);
    return true;
}

json_t *purchase_document(struct desk_call *call, int64_t purchase, struct fault *fault) {
    return statement_document(call, &query_purchase_show,
                              json_pack("{s:I}", "purchase", (json_int_t)purchase), fault);
}
