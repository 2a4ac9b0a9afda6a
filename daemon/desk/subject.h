/* Which thing a request means: by its number, or by the code scanned off its label.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_SUBJECT_H
#define ELLWAND_DESK_SUBJECT_H

#include "common/document.h"
#include "label/code.h"

/* A set of kinds: SUBJECT(CODE_BAR) | SUBJECT(CODE_OFFCUT). */
#define SUBJECT(kind) (1u << (kind))

/* Field `name`: a number, or a scan code of one of `kinds`. 0 when absent, or when something is wrong with it
 * (the form then knows: "out-of-range", "bad-code", "misread-code", "wrong-code"). */
int64_t subject_read_or_none(struct form *form, const char *name, unsigned kinds);
/* The same for a field that must be there. */
int64_t subject_read(struct form *form, const char *name, unsigned kinds);
/* The same for an array of at most `most` numbers or codes: a new JSON array of numbers, also when the field
 * is absent. NULL and fault when one is wrong. */
json_t *subject_read_list(struct form *form, const char *name, unsigned kinds, size_t most,
                          struct fault *fault);

#endif
