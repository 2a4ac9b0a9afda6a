/* What lies on the rack. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    static const char *const kinds[] = {"bar", "offcut", NULL};
    static const char *const states[] = {"on-rack", "bound", "cut", "written-off", NULL};
    static const char *const orders[] = {"number", "length", NULL};
    char code[41];
    struct form form;
    form_open(&form, call->body, "", fault);
    form_text_or(&form, "system", code, sizeof code, "");
    form_text_or(&form, "finish", code, sizeof code, "");
    form_choice_or(&form, "kind", kinds, 0);
    form_text_or(&form, "batch", code, sizeof code, "");
    int state = form_choice_or(&form, "state", states, 0);
    int by = form_choice_or(&form, "by", orders, 0);
    form_number_or(&form, "longer", 0, (double)ELL_LENGTH_MAX / 10, 0);
    form_number_or(&form, "shorter", 0, (double)ELL_LENGTH_MAX / 10, 0);
    if (by == 1 && state == 2)
        form_wrong(&form, "by", "out-of-range", "What was cut is listed by number only.");
    form_integer_or(&form, "after", 1, INT64_MAX, 1);
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_rack_list, "rack", fault) : NULL;
}

const struct desk_verb desk_verb_rack_list = {
    "rack.list", ROLE_ANY, DESK_READS,
    "Bars and offcuts on the rack, a page at a time, with the length of all that match.", run};
