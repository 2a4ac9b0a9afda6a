/* Purchases as people see them. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_PURCHASE_VIEW_H
#define ELLWAND_CLIENT_PURCHASE_VIEW_H

#include "command.h"

/* The first argument as a purchase's number. False after saying why. */
bool purchase_number(const struct program *program, int64_t *number) MUST_CHECK;

/* Prints the answer of purchase.show: its figures, its lines, and how it came to its state. */
void purchase_view(const struct screen *screen, const json_t *purchase);

/* A whole command: asks `verb`, which answers with a purchase, with `body` (taken over; NULL ends with EXIT_USAGE) and
 * shows it. */
int purchase_call(struct program *program, const char *verb, json_t *body);

#endif
