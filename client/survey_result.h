/* A window's take-off in a few lines, for somebody who still stands before the window.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_RESULT_H
#define ELLWAND_CLIENT_SURVEY_RESULT_H

#include "screen.h"

#include "takeoff/takeoff.h"

/* Overall length, pieces, brackets, gliders, how far the loads use what is allowed; refusals with what would help; and of
 * the cautions as many as `rows` lines have room for in all, with the number of the others. */
void survey_result_print(const struct screen *screen, const struct takeoff *takeoff, size_t rows);

#endif
