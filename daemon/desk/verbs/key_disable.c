/* Shuts a key out. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"

#include <ellwand/protocol.h>

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char name[ELL_KEY_NAME_MAX + 1];
    form_open(&form, call->body, "", fault);
    form_text(&form, "name", name, sizeof name);
    if (!form_close(&form))
        return NULL;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    store_text(&values, call->key_name);
    json_t *answer = statement_json(call, &query_key_disable, &values, fault);
    if (!json_is_null(answer))
        return answer;
    json_decref(answer);
    fault_set(fault, "not-found", "name", "There is no key %s; `ellwand key list` shows all.", name);
    return NULL;
}

const struct desk_verb desk_verb_key_disable = {"key.disable", ROLE_MANAGER, DESK_CHANGES,
                                                "Shuts a client key out; what it did stays under its name.",
                                                run};
