/* What the build makes of the tables of a program. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_MANUAL_PAGES_H
#define ELLWAND_MANUAL_PAGES_H

#include <stdio.h>

struct made_file {
    const char *name;
    void (*write)(FILE *file); /* the whole of it */
};

/* Those of the program whose tables are linked, closed by {0}. */
extern const struct made_file made_files[];

/* The client's commands and their options as arrays of bash, for client/completion.bash. */
void completion_tables(FILE *script);

#endif
