/* Orders what was proposed. SPDX-License-Identifier: Apache-2.0 */
#include "desk/purchase_steps.h"

static bool order(struct desk_call *call, const struct purchase_subject *purchase, const char *expected,
                  struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, purchase->id);
    store_text(&values, expected);
    return store_run_nothing(call->session, &query_purchase_order, &values, fault) &&
           purchase_announce(call, purchase->id, "ordered", fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct purchase_subject purchase;
    struct form form;
    char expected[11];
    form_open(&form, call->body, "", fault);
    purchase_read(&form, &purchase);
    form_date_or(&form, "expected", expected, "");
    if (!form_close(&form) || !purchase_lock_in(call, &purchase, "proposed", "purchase-settled", fault))
        return NULL;
    return order(call, &purchase, expected, fault) ? purchase_document(call, purchase.id, fault) : NULL;
}

const struct desk_verb desk_verb_purchase_order = {
    "purchase.order", ROLE_MANAGER, DESK_CHANGES,
    "Approves a proposal: it is ordered, and counts as on its way from now on.", run};
