/* The words after a command: its options and arguments. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_ARGUMENTS_H
#define ELLWAND_CLIENT_ARGUMENTS_H

#include "command.h"
#include "settings.h"

/* Reads `words`, the command line from the command's last word on (it is replaced by the command's whole name), into
 * program->arguments and program->given, which have room for `count` each, and into `given`. What is wrong with them, and
 * --help, end the program as argp does. */
void arguments_read(struct program *program, struct settings_given *given, int count, char **words);

/* Prints what --help of the command says. */
void arguments_help(const struct command *command, FILE *stream);

#endif
