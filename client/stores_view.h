/* What the stores' commands have in common. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_STORES_VIEW_H
#define ELLWAND_CLIENT_STORES_VIEW_H

#include "command.h"

/* A quantity as a person writes it: a number, or a length with its unit ("12.5 m") as millimetres. A new JSON number;
 * NULL after saying on standard error what is wrong with `text`. */
json_t *quantity_read(const struct program *program, const char *text);

/* A line of goods that came in: PART, BIN and QUANTITY as words, where "3 boxes" or "3box" are so many boxes. A new object with
 * the option "batch"; NULL after saying what is wrong. */
json_t *receipt_line(const struct program *program, char *const words[3]);

/* Prints how a kit stands, as kit.pick answers it. */
void kit_view(const struct program *program, const json_t *kit);

/* Asks `verb` with `body` (taken over) and shows how the kit of the answer stands, and what comes next. */
int kit_call(struct program *program, const char *verb, json_t *body);
/* The same for each argument as "kit", with the option "reason". */
int kit_call_each(struct program *program, const char *verb);

/* Prints what a verb that changes stock answered: what was booked, who was helped, and what is still short. */
void stock_view(const struct program *program, const json_t *answer);

/* Asks a verb that changes stock and says what was booked, who was helped, and what is still short. `body` is taken over;
 * NULL ends with EXIT_USAGE. */
int stock_call(struct program *program, const char *verb, json_t *body);

#endif
