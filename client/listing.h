/* The commands as lists for people, and which of them somebody may have meant. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_LISTING_H
#define ELLWAND_CLIENT_LISTING_H

#include "command.h"

/* "order list" of two words, or "scan" of the first alone; NULL when there is none. `second` may be NULL. *words tells how many
 * were the command's. */
const struct command *listing_find(const char *first, const char *second, int *words);

/* "Order desk"; NULL for a number that is no group. */
const char *listing_title(enum command_group group);

/* Every thing with what can be done with it, grouped by who does it. */
void listing_all(FILE *stream);

/* The commands about one thing ("kit"), or those of one person ("stores", "set-up"), each with its summary. Returns how many
 * there are; with none nothing is printed. `stream` may be NULL, to count only. */
size_t listing_thing(FILE *stream, const char *thing);
size_t listing_person(FILE *stream, const char *person);

enum { LISTING_NEAR = 3, LISTING_NAME = 64 };

/* The names of commands, or of things that commands are about, that are spelled most like what was typed, the nearest first;
 * nothing that is much unlike it. `second` may be NULL. Returns how many. */
size_t listing_near(const char *first, const char *second, char near[LISTING_NEAR][LISTING_NAME]);

/* Says that there is no such command, and which it may have been; EXIT_USAGE. */
int listing_unknown(const struct program *program, const char *first, const char *second);

#endif
