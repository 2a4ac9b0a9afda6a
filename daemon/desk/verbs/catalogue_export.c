/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    return form_close(&form) ? statement_json_for(call, &query_catalogue_export, call->workshop, fault)
                             : NULL;
}

const struct desk_verb desk_verb_catalogue_export = {
    "catalogue.export", ROLE_ANY, DESK_READS, "The catalogue as the document it was loaded from.", run};
