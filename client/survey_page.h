/* One question of a guided entry on the terminal. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_PAGE_H
#define ELLWAND_CLIENT_SURVEY_PAGE_H

#include "screen.h"
#include "survey_entry.h"

/* Draws the question with its choices and prompt below as many of the answers before it as the terminal has room for, or
 * below the take-off of the window that was finished; a terminal that cannot be wiped gets the question alone. `explains`:
 * with its explanation; `problem`: what was wrong with the last line, "" for nothing. */
void survey_page_show(const struct screen *screen, const struct survey_entry *entry, bool explains,
                      const char *problem);

#endif
