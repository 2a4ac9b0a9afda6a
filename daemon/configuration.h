/* The daemon's configuration: one file, every key in one table with its bounds and what it means.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CONFIGURATION_H
#define ELLWAND_CONFIGURATION_H

#include "common/fault.h"

#include <stddef.h>
#include <stdio.h>

enum { CONFIGURATION_TEXT = 512 };

struct configuration {
    char database[CONFIGURATION_TEXT];
    char workshop[CONFIGURATION_TEXT];
    char listen[CONFIGURATION_TEXT];
    char events[CONFIGURATION_TEXT];
    char key_file[CONFIGURATION_TEXT];
    char plain_key[CONFIGURATION_TEXT];
    char cups_server[CONFIGURATION_TEXT];
    char log[CONFIGURATION_TEXT];
    int connections;
    int workers;
    int queue;
    int connect_timeout_ms;
    int statement_timeout_ms;
    int request_timeout_ms;
    bool readable_by_all; /* the file's mode */
};

/* One key of the file. */
struct configuration_key {
    const char *name;
    bool is_text;
    size_t offset;           /* of its field in struct configuration */
    const char *text;        /* default; NULL: must be given */
    int number, least, most; /* default and bounds of a number */
    const char *example;     /* the value of the example file where there is no default, or NULL */
    const char *meaning;
};

extern const struct configuration_key configuration_keys[];
extern const size_t configuration_key_count;

/* Reads the file. Faults: "no-file"; "bad-configuration" with file and line in `where` for a syntax error, an
 * unknown key, a wrong type, a value out of bounds, or a key that must be given and is not. *configuration is
 * filled only on success. */
bool configuration_read(const char *path, struct configuration *configuration,
                        struct fault *fault) MUST_CHECK;

/* Writes the table as a file to start from: each key with its meaning, bounds and default, and with what the README's
 * set-up takes where a value must be given. */
void configuration_explain(FILE *file);

#endif
