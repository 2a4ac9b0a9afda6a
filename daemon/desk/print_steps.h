/* What a person says of a print job. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PRINT_STEPS_H
#define ELLWAND_DESK_PRINT_STEPS_H

#include "desk/verb.h"

/* A print job, locked. */
struct print_subject {
    int64_t job, labels, done; /* done: how many labels are known to have come out */
    bool held, unsure;         /* unsure: more may have */
    char station[64];
};

/* Locks print job `job`. Fault "not-found". */
bool print_lock(struct desk_call *call, int64_t job, struct print_subject *subject,
                struct fault *fault) MUST_CHECK;

/* Makes a locked job `state` with the message `reason`; `done` of its labels came out, -1 leaves that as it is. The answer is
 * {job, state, message}; NULL and fault when its state does not allow it. */
json_t *print_become(struct desk_call *call, const struct print_subject *subject, const char *state,
                     const char *reason, int64_t done, struct fault *fault) MUST_CHECK;

/* Gives a locked job up that is held and unsure, and asks for what is left of it at `station` as marked reprints.
 * The answer is {job: the new one, state, message, instead_of}. */
json_t *print_as_reprints(struct desk_call *call, const struct print_subject *subject, const char *station,
                          struct fault *fault) MUST_CHECK;

/* Reads the body {"job", "reason"?}, and makes the job `state`; `otherwise` is the reason where none is given, and what
 * the job's message then says. */
json_t *print_step(struct desk_call *call, const char *state, const char *otherwise,
                   struct fault *fault) MUST_CHECK;

#endif
