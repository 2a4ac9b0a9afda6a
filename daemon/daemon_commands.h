/* What `ellwandd` can be told to do: one table, from which come the reading of the command line, --help and the manual.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DAEMON_COMMANDS_H
#define ELLWAND_DAEMON_COMMANDS_H

#include "common/fault.h"

#include <argp.h>
#include <stddef.h>

enum { CHOICE_WORDS = 6 };

struct choices {
    const char *configuration; /* --config, or NULL */
    const char *owner;         /* --owner, or NULL */
    const char *words[CHOICE_WORDS];
    int word_count;
};

struct daemon_command {
    const char *name, *arguments; /* "workshop", "NAME TITLE" */
    const char *meaning;
    int words; /* the command's own included */
    bool needs_configuration, needs_owner;
    bool (*run)(const struct choices *choices, struct fault *fault);
};

extern const struct daemon_command daemon_commands[];
extern const size_t daemon_command_count;
/* Keys 'c' and 'o'; closed by {0}. */
extern const struct argp_option daemon_options[];
extern const char daemon_summary[];
extern const char daemon_exits[];

/* The commands and the exit codes for --help, in lines of 77 at most. The caller frees it; NULL without memory. */
char *daemon_commands_text(void);

/* Whether starting again cannot help, as after a wrong configuration or before `ellwandd migrate`: exit code 2, upon
 * which a service manager leaves it. */
bool daemon_cannot_mend(const struct fault *fault);

#endif
