/* What becomes of a print job that does not go on by itself. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PRINT_ENDED_H
#define ELLWAND_DESK_PRINT_ENDED_H

#include "desk/print_worker.h"

/* CUPS says that the attempt is over: printed; or it goes on with the label after the last one that came out; or a person
 * must look. What a person wanted to become of it is done now. */
void print_ended(const struct print_attempt *attempt, const struct print_status *status,
                 struct print_outcome *outcome);

/* Nothing of the attempt reached the print server: it is sent again, here or where it is to move to, or given up. */
void print_not_begun(const struct print_attempt *attempt, struct print_outcome *outcome);

/* Held for a person, with `words` and what can be said then; `unsure` when more labels may have come out than are known. */
void print_hold(const struct print_attempt *attempt, bool unsure, const char *words,
                struct print_outcome *outcome);

#endif
