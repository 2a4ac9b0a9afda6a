/* Inside the room: printer-state-reasons in plain words. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_WORDS_H
#define ELLWAND_PRINT_WORDS_H

#include "print/print.h"

/* What the gravest of `reasons` (comma between them, as print_status has them) means for a person, or NULL
 * when none is known or worth a word. *stops tells whether printing waits for somebody. */
const char *words_for_reasons(const char *reasons, bool *stops);

/* True when `reasons` has this keyword, with or without its severity (-error, -warning, -report). */
bool words_has_reason(const char *reasons, const char *keyword);

#endif
