/* What deploy/cmake/queries.cmake makes of the files below sql/. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_QUERY_H
#define ELLWAND_STORE_QUERY_H

#include <stddef.h>

/* sql/queries/THING/WHAT.sql is `query_THING_WHAT` in store/queries.h. */
struct query {
    const char *name; /* "THING_WHAT", also the name it is prepared under; at most 60 bytes */
    const char *text; /* one statement, comments taken out */
    int parameters;   /* it uses $1 to $parameters */
};

/* sql/migrations/NNNN_name.sql; in rising order of numbers. */
struct migration {
    int number;
    const char *name;
    const char *checksum; /* SHA-256 of the file, hexadecimal */
    const char *text;     /* any number of statements, no begin or commit among them */
};

extern const struct migration migrations[];
extern const size_t migrations_count;

#endif
