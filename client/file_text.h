/* Whole files of text, within a bound. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_FILE_TEXT_H
#define ELLWAND_CLIENT_FILE_TEXT_H

#include "command.h"

/* The bytes of a file ("-" is standard input), from malloc; NULL after saying why. At most `most`. */
char *file_text(const struct program *program, const char *path, size_t most, size_t *count);

/* The name ends in .csv. */
bool file_is_csv(const char *path);

#endif
