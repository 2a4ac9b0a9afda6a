/* A label that was lost or spoiled. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"
#include "label/code.h"

#include <string.h>

struct lost_label {
    struct code code;
    char text[CODE_TEXT]; /* the code as scanned */
    const char *kind;     /* of the label */
};

static bool read_code(const json_t *body, struct lost_label *label, char reason[300], struct fault *fault) {
    static const char *const kinds[CODE_KINDS] = {
        [CODE_PIECE] = "piece", [CODE_KIT] = "kit",   [CODE_OFFCUT] = "offcut",
        [CODE_BAR] = "bar",     [CODE_PLACE] = "bin", [CODE_PARCEL] = "parcel"};
    struct form form;
    char given[64];
    form_open(&form, body, "", fault);
    form_text(&form, "code", given, sizeof given);
    form_text_or(&form, "reason", reason, 300, "label printed again");
    if (!form_close(&form) || !code_read(given, &label->code, fault))
        return false;
    label->kind = kinds[label->code.kind];
    code_write_issue(&label->code, label->text);
    return label->kind != NULL || fault_set(fault, "no-label", "code", "There are no labels for a %s.",
                                            code_kind_name(label->code.kind));
}

static json_t *find_again(struct desk_call *call, const struct lost_label *label, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, label->kind);
    store_integer(&values, label->code.id);
    json_t *again = statement_json(call, &query_print_again, &values, fault);
    if (!json_is_null(again))
        return again;
    json_decref(again);
    fault_set(fault, "not-found", "code", "No label of %s was ever asked for here.", label->text);
    return NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct lost_label label;
    char reason[300];
    if (!read_code(call->body, &label, reason, fault) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *again = find_again(call, &label, fault);
    if (again == NULL)
        return NULL;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, label.kind);
    store_json(&values, again);
    store_null(&values);
    call->wakes_printers = true;
    json_t *answer = statement_json(call, &query_print_enqueue, &values, fault);
    json_decref(again);
    return answer;
}

const struct desk_verb desk_verb_label_reprint = {"label.reprint", ROLE_SAW | ROLE_STORES | ROLE_DESK,
                                                  DESK_CHANGES,
                                                  "Prints the label of a scan code once more, marked as a "
                                                  "reprint and with a new code; the old one is void then.",
                                                  run};
