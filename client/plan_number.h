/* Commands about plans by number. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_PLAN_NUMBER_H
#define ELLWAND_CLIENT_PLAN_NUMBER_H

#include "command.h"

/* The argument `index` as a plan's number. False after saying why. */
bool plan_number(const struct program *program, int index, int64_t *number) MUST_CHECK;

/* A whole command: asks `verb` for each plan named, with --reason where the command has it, and prints what became of it. */
int plan_each(struct program *program, const char *verb);

#endif
