/* Where the client's settings come from: the command line before the environment before the configuration
 * file. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SETTINGS_H
#define ELLWAND_CLIENT_SETTINGS_H

#include "command.h"

#include <argp.h>

/* The options that every command takes, as an argp of their own; its input is a struct settings_given. */
extern const struct argp settings_argp;

struct settings_given {
    const char *config, *server, *server_key, *key, *timeout, *request_id; /* NULL: not given */
    bool json;
};

/* One key of the file, and the option and variable that come before it. */
struct settings_key {
    const char *name, *option, *variable; /* variable NULL: none */
    const char *example;                  /* as it would stand in the file */
    const char *meaning;
};

extern const struct settings_key settings_keys[];
extern const size_t settings_key_count;

/* The usual place of the file, "" when the home folder is not known or its name is too long. */
void settings_usual_path(char path[600]);

/* fault "bad-configuration" with file and line in `where`, "no-file", "out-of-range". */
bool settings_read(const struct settings_given *given, struct settings *settings,
                   struct fault *fault) MUST_CHECK;

#endif
