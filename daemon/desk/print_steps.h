/* What a person says of a print job. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PRINT_STEPS_H
#define ELLWAND_DESK_PRINT_STEPS_H

#include "desk/verb.h"

/* Reads the body {"job", "reason"?}, and makes the job `state`; `otherwise` is the reason where none is given, and what
 * the job's message then says. The answer is {job, state, message}; NULL and fault when its state does not allow it. */
json_t *print_step(struct desk_call *call, const char *state, const char *otherwise,
                   struct fault *fault) MUST_CHECK;

#endif
