/* The stock of one part, or of bars of one length, over the weeks to come. SPDX-License-Identifier: Apache-2.0 */
#include "desk/reordering.h"
#include "replenish/project.h"

/* What the statement is asked for: the part, or the bars. */
static json_t *wanted_of(struct form *form) {
    char part[41], system[41], finish[41];
    form_text_or(form, "part", part, sizeof part, "");
    form_text_or(form, "system", system, sizeof system, "");
    form_text_or(form, "finish", finish, sizeof finish, "");
    ell_length length = form_length_or(form, "length", 1, ELL_LENGTH_MAX, 0);
    bool bars = system[0] != '\0' && finish[0] != '\0' && length > 0;
    if (!form->failed && (part[0] != '\0') == bars)
        form_wrong(form, "part", "one-of-two",
                   "Name either a \"part\", or bars by \"system\", \"finish\" and \"length\".");
    return part[0] != '\0' ? json_pack("{s:s}", "part", part)
                           : json_pack("{s:{s:s, s:s, s:I}}", "bar", "system", system, "finish", finish,
                                       "length", (json_int_t)length);
}

static json_t *project(struct desk_call *call, const json_t *wanted, size_t weeks, struct fault *fault) {
    const struct reordering practice = {.order_cost = 2500, .holding_share = 0.25};
    json_t *page = reordering_page(call, wanted, &practice, false, weeks, fault);
    json_t *line = json_incref(json_array_get(json_object_get(page, "lines"), 0));
    if (page != NULL && line == NULL)
        fault_set(fault, "not-found", "part",
                  "There is no such part or bar, or no such bar ever came; reorder.list shows all.");
    json_decref(page);
    return line;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    size_t weeks = (size_t)form_integer_or(&form, "weeks", 1, PROJECT_WEEKS, REORDERING_AHEAD);
    json_t *wanted = wanted_of(&form);
    json_t *line = form_close(&form) ? project(call, wanted, weeks, fault) : NULL;
    json_decref(wanted);
    if (line == NULL)
        return NULL;
    json_object_set(line, "rows", json_object_get(line, "projection"));
    json_object_del(line, "projection");
    return line;
}

const struct desk_verb desk_verb_report_projection = {
    "report.projection", ROLE_MANAGER, DESK_READS,
    "The stock of a part, or of bars of a length, week by week: what comes, what is ordered, what is to be "
    "expected.",
    run};
