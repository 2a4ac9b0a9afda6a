/* Gives up what has not come in of a purchase. SPDX-License-Identifier: Apache-2.0 */
#include "desk/purchase_steps.h"

#include <string.h>

static bool check_open(const struct purchase_subject *purchase, struct fault *fault) {
    return strcmp(purchase->state, "proposed") == 0 || strcmp(purchase->state, "ordered") == 0 ||
           fault_set(fault, "purchase-settled", "purchase", "Purchase %lld is %s; nothing of it is open.",
                     (long long)purchase->id, purchase->state);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct purchase_subject purchase;
    struct form form;
    bool some, open;
    form_open(&form, call->body, "", fault);
    purchase_read(&form, &purchase);
    if (!form_has(&form, "reason"))
        form_wrong(&form, "reason", "missing-field", "Say why; it stays in the history.");
    if (!form_close(&form) || !purchase_lock(call, &purchase, fault) || !check_open(&purchase, fault) ||
        !purchase_came(call, &purchase, &some, &open, fault))
        return NULL;
    /* What came is kept and was bought: then only the rest is given up. */
    return purchase_step(call, &purchase, some ? "received" : "cancelled", fault)
               ? purchase_document(call, purchase.id, fault)
               : NULL;
}

const struct desk_verb desk_verb_purchase_cancel = {"purchase.cancel", ROLE_MANAGER, DESK_CHANGES,
                                                    "Gives up a purchase, or what has not come in of it.",
                                                    run};
