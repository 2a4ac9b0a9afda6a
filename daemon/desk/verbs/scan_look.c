/* What is this? SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"
#include "label/code.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char given[64], text[CODE_TEXT];
    struct code code;
    form_open(&form, call->body, "", fault);
    form_text(&form, "code", given, sizeof given);
    if (!form_close(&form) || !code_read(given, &code, fault))
        return NULL;
    json_t *asked = json_pack("{s:s, s:I, s:s}", "kind", code_kind_name(code.kind), "id", (json_int_t)code.id,
                              "code", code_write_issue(&code, text));
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, asked);
    json_t *found = statement_json(call, &query_scan_look, &values, fault);
    json_decref(asked);
    if (!json_is_null(found))
        return found;
    json_decref(found);
    fault_set(fault, "not-found", "code", "There is no %s %s here; is it of another workshop?",
              code_kind_name(code.kind), text);
    return NULL;
}

const struct desk_verb desk_verb_scan_look = {
    "scan.look", ROLE_ANY, DESK_READS,
    "What a scan code stands for, how it stands, and what can be done with it now.", run};
