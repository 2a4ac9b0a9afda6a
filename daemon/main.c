/* ellwandd: reads what is asked of it and does it. SPDX-License-Identifier: Apache-2.0 */
#include "configuration.h"
#include "desk/desk.h"
#include "service.h"
#include "set_up.h"

#include <argp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *argp_program_version = "ellwandd " ELLWAND_VERSION;

struct choices {
    const char *configuration;
    const char *owner;
    const char *words[6];
    int word_count;
};

static const char explanation[] =
    "The service of a workshop that makes curtain tracks.\v"
    "Commands:\n"
    "  run                                  serve (needs --config)\n"
    "  check                                read the configuration and the keys' file, and say whether they "
    "are right\n"
    "  configuration                        print every key of the configuration with its meaning\n"
    "  verbs                                print every verb with its roles, as JSON\n"
    "  migrate                              bring the database's schema up to this program (needs --owner)\n"
    "  workshop NAME TITLE                  make a workshop in the database (needs --owner)\n"
    "  key WORKSHOP NAME PUBLIC ROLES       let a client key in, e.g. the first manager's (needs --owner);\n"
    "                                       ROLES are of desk, saw, stores, manager, parted by commas\n"
    "\n"
    "Exit: 0 done, 1 refused or failed (standard error says why), 2 not understood.";

static const struct argp_option options[] = {
    {"config", 'c', "FILE", 0, "The configuration of the service", 0},
    {"owner", 'o', "CONNINFO", 0, "How the owner of the database's schema connects (libpq connection string)",
     0},
    {0}};

static error_t take_option(int key, char *argument, struct argp_state *state) {
    struct choices *choices = state->input;
    switch (key) {
    case 'c':
        choices->configuration = argument;
        return 0;
    case 'o':
        choices->owner = argument;
        return 0;
    case ARGP_KEY_ARG:
        if (choices->word_count == 6)
            argp_error(state, "too many words");
        else
            choices->words[choices->word_count++] = argument;
        return 0;
    case ARGP_KEY_NO_ARGS:
        argp_error(state, "say what to do");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

static bool run(const struct choices *choices, struct fault *fault) {
    struct configuration configuration;
    return configuration_read(choices->configuration, &configuration, fault) &&
           service_run(&configuration, fault);
}

static bool check(const struct choices *choices, struct fault *fault) {
    struct configuration configuration;
    if (!configuration_read(choices->configuration, &configuration, fault))
        return false;
    printf("%s is right\n", choices->configuration);
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

static const struct command {
    const char *name;
    int words; /* the command's own included */
    bool needs_configuration, needs_owner;
    bool (*run)(const struct choices *choices, struct fault *fault);
} commands[] = {
    {"run", 1, true, false, run},
    {"check", 1, true, false, check},
    {"configuration", 1, false, false, show_configuration},
    {"verbs", 1, false, false, show_verbs},
    {"migrate", 1, false, true, migrate},
    {"workshop", 3, false, true, make_workshop},
    {"key", 5, false, true, let_key_in},
};

static const struct command *choose(const struct choices *choices, const char **complaint) {
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        const struct command *command = &commands[i];
        if (strcmp(command->name, choices->words[0]) != 0)
            continue;
        *complaint = command->words != choices->word_count ? "wrong number of words"
                     : command->needs_configuration && choices->configuration == NULL ? "give --config FILE"
                     : command->needs_owner && choices->owner == NULL ? "give --owner CONNINFO"
                                                                      : NULL;
        return command;
    }
    *complaint = "there is no such command";
    return NULL;
}

int main(int count, char *arguments[]) {
    static const struct argp argp = {options, take_option, "COMMAND [WORDS]", explanation, NULL, NULL, NULL};
    struct choices choices = {0};
    argp_err_exit_status = 2;
    argp_parse(&argp, count, arguments, 0, NULL, &choices);
    const char *complaint;
    const struct command *command = choose(&choices, &complaint);
    if (complaint != NULL) {
        fprintf(stderr, "ellwandd: %s: %s; see ellwandd --help\n", choices.words[0], complaint);
        return 2;
    }
    struct fault fault = {0};
    if (command->run(&choices, &fault))
        return 0;
    fprintf(stderr, "ellwandd: %s%s%s\n", fault.where, fault.where[0] ? ": " : "", fault.message);
    return 1;
}
