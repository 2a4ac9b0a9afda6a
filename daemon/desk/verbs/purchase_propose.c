/* Proposes what to buy: one purchase for each supplier, for a manager to change and to order.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/purchase_steps.h"
#include "desk/reordering.h"
#include "desk/statement.h"

/* What already stands on a proposal is not proposed again: its code goes to `already` instead. */
static bool part_proposed(const json_t *due, json_t *wanted, json_t *already, struct fault *fault) {
    const json_t *line;
    size_t index;
    json_array_foreach((json_t *)due, index, line) {
        bool stands = json_number_value(json_object_get(line, "proposed")) > 0;
        if ((stands ? json_array_append(already, json_object_get(line, "code"))
                    : json_array_append(wanted, (json_t *)line)) != 0)
            return fault_memory(fault);
    }
    return true;
}

static json_t *propose(struct desk_call *call, const json_t *wanted, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, wanted);
    json_t *purchases = statement_json(call, &query_purchase_propose, &values, fault);
    for (size_t i = 0; i < json_array_size(purchases); i++) {
        const json_t *number = json_object_get(json_array_get(purchases, i), "purchase");
        if (!purchase_announce(call, json_integer_value(number), "proposed", fault)) {
            json_decref(purchases);
            return NULL;
        }
    }
    return purchases;
}

static json_t *answer_for(struct desk_call *call, const json_t *due, struct fault *fault) {
    json_t *wanted = json_array(), *already = json_array(), *answer = NULL;
    if (part_proposed(due, wanted, already, fault)) {
        json_t *purchases = propose(call, wanted, fault);
        answer =
            purchases == NULL ? NULL : json_pack("{s:o, s:O}", "purchases", purchases, "already", already);
    }
    json_decref(already);
    json_decref(wanted);
    return answer;
}

/* All that is due, page by page. */
static json_t *all_due(struct desk_call *call, const struct reordering *practice, struct fault *fault) {
    json_t *due = json_array(), *asked = json_pack("{s:O*}", "part", json_object_get(call->body, "part"));
    do {
        json_t *page = reordering_page(call, asked, practice, true, 0, fault);
        if (page == NULL) {
            json_decref(due);
            due = NULL;
            break;
        }
        json_array_extend(due, json_object_get(page, "lines"));
        json_object_set(asked, "after", json_object_get(page, "next"));
        json_decref(page);
    } while (json_is_string(json_object_get(asked, "after")));
    json_decref(asked);
    return due;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct reordering practice;
    struct form form;
    char reason[300];
    form_open(&form, call->body, "", fault);
    reordering_read(&form, &practice);
    form_text_or(&form, "reason", reason, sizeof reason, "");
    if (!form_close(&form) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *due = all_due(call, &practice, fault);
    json_t *answer = due == NULL ? NULL : answer_for(call, due, fault);
    json_decref(due);
    return answer;
}

const struct desk_verb desk_verb_purchase_propose = {
    "purchase.propose", ROLE_MANAGER, DESK_CHANGES,
    "Proposes to buy what is at or below its reorder point: one purchase for each supplier.", run};
