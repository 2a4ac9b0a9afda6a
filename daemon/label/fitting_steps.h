/* Inside the room: the words of a fitting sheet. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_FITTING_STEPS_H
#define ELLWAND_LABEL_FITTING_STEPS_H

#include "label/fitting.h"

enum { FITTING_STEPS = 16, FITTING_STEP_TEXT = 320 };

/* What to do, in order. Returns how many steps there are. */
size_t fitting_steps(const struct fitting *fitting, char steps[FITTING_STEPS][FITTING_STEP_TEXT]);

/* The tools for this window, comma between them. Returns `text`. */
char *fitting_tools(const struct fitting *fitting, char text[FITTING_STEP_TEXT]);

#endif
