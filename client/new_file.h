/* A file written as a whole: it appears under its name when all of it is on disk, else the old one stays.
 * What is no regular file, such as /dev/stdout, is written to as it is.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_NEW_FILE_H
#define ELLWAND_CLIENT_NEW_FILE_H

#include <stdbool.h>
#include <stdio.h>

struct new_file {
    FILE *file;        /* to be written to; closed by new_file_keep */
    char beside[4096]; /* its name until then; empty: written to directly */
};

/* Opens a file beside `path`. False: errno says why, and nothing is open. */
bool new_file_begin(const char *path, struct new_file *new);

/* Closes it and gives it the name `path`, replacing what was there. False: something of it could not be written, errno says
 * why, and nothing is left but what was there before. */
bool new_file_keep(struct new_file *new, const char *path);

#endif
