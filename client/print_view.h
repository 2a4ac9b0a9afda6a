/* What the commands about print jobs have in common. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_PRINT_VIEW_H
#define ELLWAND_CLIENT_PRINT_VIEW_H

#include "command.h"

/* Asks `verb` for the print job of each argument, with the options "reason", "from" and "to" where they were given, and says
 * what became of it. */
int print_call_each(struct program *program, const char *verb);

/* Moves all open print jobs of a station to the one of the option "to". */
int print_move_all(struct program *program, const char *station);

#endif
