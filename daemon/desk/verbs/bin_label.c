/* Labels for the shelves, so that a scanner knows where it is. SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    const json_t *bins = form_array(&form, "bins", 1, STOCK_LINES);
    for (size_t i = 0; i < json_array_size(bins); i++)
        if (!json_is_string(json_array_get(bins, i)))
            form_wrong(&form, "bins", "wrong-type", "Name each bin by its code.");
    if (!form_close(&form))
        return NULL;
    json_t *answer = json_pack("{s:[]}", "labels");
    if (answer == NULL) {
        fault_memory(fault);
        return NULL;
    }
    if (labels_ask(call, "bin", desk_read(call, &query_bin_labels, "bins", fault),
                   json_object_get(answer, "labels"), fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_bin_label = {"bin.label", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES,
                                              "Prints labels for bins.", run};
