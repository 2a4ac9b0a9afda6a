/* Advice of the take-off, each said once however many windows it is for. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_ADVICE_VIEW_H
#define ELLWAND_CLIENT_ADVICE_VIEW_H

#include "screen.h"

/* Adds what is said of `window` to `gathered` (a JSON array, in the order in which things were first said). Notes are
 * left out unless they are wanted. */
void advice_add(json_t *gathered, const char *window, const json_t *advice, bool notes);

/* Prints all: refusals, then cautions, then notes, each with its windows. */
void advice_print(const struct screen *screen, const json_t *gathered);

#endif
