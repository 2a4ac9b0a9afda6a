/* Verbs about one plan. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PLAN_SUBJECT_H
#define ELLWAND_DESK_PLAN_SUBJECT_H

#include "desk/verb.h"

struct plan_subject {
    int64_t id;
    char state[24];
    char reason[300];
};

/* Reads the body {"plan", "reason"?}, finds and locks the plan, and sets the reason. fault "not-found". */
bool plan_open(struct desk_call *call, struct plan_subject *plan, struct fault *fault) MUST_CHECK;

/* What was done, {"plan","state"}, told as the event `topic` too. */
json_t *plan_answer(struct desk_call *call, const struct plan_subject *plan, const char *topic,
                    const char *state, struct fault *fault) MUST_CHECK;

#endif
