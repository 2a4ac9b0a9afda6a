/* Holding and cancelling an order. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_ORDER_GIVE_UP_H
#define ELLWAND_CLIENT_ORDER_GIVE_UP_H

#include "command.h"

/* The commands "order hold" and "order cancel", which are alike: ORDER --reason TEXT. Asks `verb` and prints
 * what was given back and what a person has to carry where. */
int order_give_up(struct program *program, const char *verb);

/* What the answer of holding, cancelling or changing an order says was given back, and who has to carry what where. */
void order_given_back(const struct program *program, const json_t *answer);

#endif
