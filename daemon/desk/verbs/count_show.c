/* What is to be counted, blind; and once it is counted, to managers what differs. SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"
#include "desk/statement.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    const json_t *takes = form_array(&form, "stock_takes", 1, COUNT_TAKES);
    for (size_t i = 0; i < json_array_size(takes); i++)
        if (!json_is_integer(json_array_get(takes, i)))
            form_wrong(&form, "stock_takes", "wrong-type", "Name each by its number.");
    if (!form_close(&form))
        return NULL;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    store_boolean(&values, (call->roles & ROLE_MANAGER) != 0);
    return statement_json(call, &query_count_show, &values, fault);
}

const struct desk_verb desk_verb_count_show = {"count.show", ROLE_STORES | ROLE_MANAGER, DESK_READS,
                                               "What a stock-take asks to be counted, without what the books "
                                               "have; once counted, to managers what differs.",
                                               run};
