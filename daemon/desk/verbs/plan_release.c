/* Releases a plan to the saw: bars bound, labels queued. SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"
#include "desk/plan_subject.h"
#include "desk/statement.h"

#include <inttypes.h>
#include <string.h>

/* The cut sheet as one thing to print; NULL and fault when it fails. */
static json_t *sheet_item(struct desk_call *call, int64_t plan, struct fault *fault) {
    json_t *sheet = desk_read(call, &query_plan_cut_sheet, "plan", fault);
    json_t *item =
        sheet == NULL ? NULL : json_pack("[{s:I, s:o}]", "subject", (json_int_t)plan, "payload", sheet);
    if (sheet != NULL && item == NULL)
        fault_memory(fault);
    return item;
}

static bool print_sheet(struct desk_call *call, int64_t plan, json_t *labels, struct fault *fault) {
    bool printed;
    return labels_printed_here(call, "cut-sheet", &printed, fault) &&
           (!printed || labels_ask(call, "cut-sheet", sheet_item(call, plan, fault), labels, fault));
}

/* What is printed goes out with the release or not at all; the sheet last, for it names the codes that the labels then have. */
static bool label_plan(struct desk_call *call, int64_t plan, json_t *labels, struct fault *fault) {
    return labels_ask(call, "piece", statement_json_for(call, &query_plan_piece_labels, plan, fault), labels,
                      fault) &&
           labels_ask(call, "kit", statement_json_for(call, &query_plan_kit_labels, plan, fault), labels,
                      fault) &&
           print_sheet(call, plan, labels, fault);
}

static json_t *release(struct desk_call *call, const struct plan_subject *plan, struct fault *fault) {
    json_t *labels = json_array();
    json_t *answer = NULL;
    if (labels == NULL)
        fault_memory(fault);
    else if (statement_for(call, &query_plan_release, plan->id, fault) &&
             label_plan(call, plan->id, labels, fault))
        answer = plan_answer(call, plan, "plan.released", "released", fault);
    if (answer != NULL)
        json_object_set(answer, "labels", labels);
    json_decref(labels);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct plan_subject plan;
    if (!plan_open(call, &plan, fault))
        return NULL;
    if (strcmp(plan.state, "ready") != 0) {
        fault_set(fault, "step-not-allowed", "plan",
                  "Plan %" PRId64 " is %s; only a ready plan can be released.", plan.id, plan.state);
        return NULL;
    }
    return release(call, &plan, fault);
}

const struct desk_verb desk_verb_plan_release = {
    "plan.release", ROLE_SAW, DESK_CHANGES,
    "Releases a ready plan to the saw: its bars are bound and its labels queued.", run};
