/* SPDX-License-Identifier: Apache-2.0 */
#include "daemon_commands.h"

#include "configuration.h"
#include "desk/desk.h"
#include "service.h"
#include "set_up.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char daemon_summary[] = "The service of a workshop that makes curtain tracks.";
const char daemon_exits[] =
    "Ends with 0: done; 1: refused or failed, standard error says why; 2: the command "
    "line or the configuration is wrong, or the database wants `ellwandd migrate`, so "
    "that starting again is of no use.";

const struct argp_option daemon_options[] = {
    {"config", 'c', "FILE", 0, "The configuration of the service", 0},
    {"owner", 'o', "CONNINFO", 0, "How the owner of the database's schema connects (libpq connection string)",
     0},
    {0}};

/* --- The commands --- */

static bool run(const struct choices *choices, struct fault *fault) {
    struct configuration configuration;
    return configuration_read(choices->configuration, &configuration, fault) &&
           service_run(&configuration, fault);
}

static bool check(const struct choices *choices, struct fault *fault) {
    struct configuration configuration;
    if (!configuration_read(choices->configuration, &configuration, fault) ||
        !service_check(&configuration, fault))
        return false;
    printf("%s is right: the keys, the fonts and the database are there.\n", choices->configuration);
    return true;
}

static bool show_configuration(const struct choices *choices, struct fault *fault) {
    (void)choices, (void)fault;
    configuration_explain(stdout);
    return true;
}

static bool show_verbs(const struct choices *choices, struct fault *fault) {
    (void)choices;
    char *text = desk_verbs();
    if (text == NULL)
        return fault_memory(fault);
    puts(text);
    free(text);
    return true;
}

static bool migrate(const struct choices *choices, struct fault *fault) {
    return set_up_migrate(choices->owner, fault);
}

static bool make_workshop(const struct choices *choices, struct fault *fault) {
    return set_up_workshop(choices->owner, choices->words[1], choices->words[2], fault);
}

static bool let_key_in(const struct choices *choices, struct fault *fault) {
    const char *const *words = choices->words;
    return set_up_key(choices->owner, words[1], words[2], words[3], words[4], fault);
}

const struct daemon_command daemon_commands[] = {
    {"run", "", "Serve (needs --config)", 1, true, false, run},
    {"check", "",
     "Read the configuration and the key file, look for the fonts, ask the database whether its schema and "
     "the "
     "workshop are there, and say whether all is right (needs --config)",
     1, true, false, check},
    {"configuration", "", "Print every key of the configuration with its meaning: a file to start from", 1,
     false, false, show_configuration},
    {"verbs", "", "Print every verb with its roles, as JSON", 1, false, false, show_verbs},
    {"migrate", "",
     "Bring the database's schema up to this program, for the first time or after an upgrade (needs --owner)",
     1, false, true, migrate},
    {"workshop", "NAME TITLE", "Make a workshop in the database, or give it another title (needs --owner)", 3,
     false, true, make_workshop},
    {"key", "WORKSHOP NAME PUBLIC ROLES",
     "Let a client key in, such as the first manager's; ROLES are of desk, saw, stores, manager, parted by "
     "commas "
     "(needs --owner)",
     5, false, true, let_key_in},
};
const size_t daemon_command_count = sizeof daemon_commands / sizeof daemon_commands[0];

/* --- Their description --- */

/* `text` in lines that begin at `column`, the first one after `used` characters. */
static void print_wrapped(FILE *stream, const char *text, int used, int column) {
    enum { LINE = 77 };
    for (const char *word = text; *word != '\0';) {
        int length = (int)strcspn(word, " ");
        if (used + 1 + length > LINE)
            used = fprintf(stream, "\n%*s", column, "") - 1;
        used += fprintf(stream, "%s%.*s", used == column ? "" : " ", length, word);
        word += length + (word[length] == ' ');
    }
    putc('\n', stream);
}

char *daemon_commands_text(void) {
    enum { COLUMN = 32 };
    char *text = NULL;
    size_t size;
    FILE *stream = open_memstream(&text, &size);
    if (stream == NULL)
        return NULL;
    fputs("Commands:\n", stream);
    for (size_t i = 0; i < daemon_command_count; i++) {
        const struct daemon_command *command = &daemon_commands[i];
        int used = fprintf(stream, "  %s %s", command->name, command->arguments);
        if (used > COLUMN - 2)
            used = fprintf(stream, "\n") - 1;
        fprintf(stream, "%*s", COLUMN - used, "");
        print_wrapped(stream, command->meaning, COLUMN, COLUMN);
    }
    putc('\n', stream);
    print_wrapped(stream, daemon_exits, 0, 0);
    return fclose(stream) == 0 ? text : NULL;
}

bool daemon_cannot_mend(const struct fault *fault) {
    static const char *const codes[] = {"bad-configuration", "no-file",          "bad-key",
                                        "open-key",          "schema-behind",    "schema-ahead",
                                        "migration-changed", "unknown-workshop", "no-font"};
    bool lasting = false;
    for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
        lasting = lasting || strcmp(fault->code, codes[i]) == 0;
    return lasting;
}
