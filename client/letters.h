/* UTF-8 for a terminal of another character set. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_LETTERS_H
#define ELLWAND_CLIENT_LETTERS_H

#include <stddef.h>
#include <stdio.h>

/* The bytes of a character before it is whole. */
struct letters {
    unsigned char held[4];
    size_t used, wanted;
};

/* Takes `count` bytes of UTF-8, in whatever pieces they come, and writes them to `file` in the locale's own character set: what
 * it lacks as an ASCII likeness where there is one, else as '?'. Bytes that are no UTF-8 come out as '?'. False when `file`
 * did not take them. */
_Bool letters_put(struct letters *letters, const char *bytes, size_t count, FILE *file);

/* A stream that writes to `file` through letters_put, line by line. It lives as long as the program. NULL without memory. */
FILE *letters_open(FILE *file);

#endif
