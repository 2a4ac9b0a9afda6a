/* What the commands of a stock-take have in common. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_COUNT_VIEW_H
#define ELLWAND_CLIENT_COUNT_VIEW_H

#include "command.h"

/* The arguments from `first` on as numbers of stock-takes: a new array; NULL after saying which is none. */
json_t *count_numbers(const struct program *program, int first);

/* A body that means one stock-take by the first argument: its number, the code of its bin, or with the switch "rack" its place
 * of the rack. NULL when memory fails. */
json_t *count_subject(const struct program *program);

/* Asks `verb` with `body` (taken over; NULL ends with EXIT_USAGE) and says how the stock-take now stands. */
int count_call(struct program *program, const char *verb, json_t *body);

/* Draws the count sheet of these stock-takes (a list of numbers, borrowed) into the PDF file `path`. */
int count_sheet(struct program *program, const json_t *takes, const char *path);

#endif
