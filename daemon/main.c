/* ellwandd: reads what is asked of it and does it. SPDX-License-Identifier: Apache-2.0 */
#include "daemon_commands.h"

#include <argp.h>
#include <ellwand/version.h>
#include <stdio.h>
#include <string.h>

const char *argp_program_version = "ellwandd " ELL_VERSION;

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
        if (choices->word_count == CHOICE_WORDS)
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

/* What follows the options in --help; argp frees it. */
static char *help(int key, const char *text, void *input) {
    (void)input;
    return key == ARGP_KEY_HELP_EXTRA ? daemon_commands_text() : (char *)text;
}

static const struct daemon_command *choose(const struct choices *choices, const char **complaint) {
    for (size_t i = 0; i < daemon_command_count; i++) {
        const struct daemon_command *command = &daemon_commands[i];
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
    static const struct argp argp = {daemon_options, take_option, "COMMAND [WORDS]", daemon_summary, NULL,
                                     help,           NULL};
    struct choices choices = {0};
    argp_err_exit_status = 2;
    argp_parse(&argp, count, arguments, 0, NULL, &choices);
    const char *complaint;
    const struct daemon_command *command = choose(&choices, &complaint);
    if (complaint != NULL) {
        fprintf(stderr, "ellwandd: %s: %s; see ellwandd --help\n", choices.words[0], complaint);
        return 2;
    }
    struct fault fault = {0};
    if (command->run(&choices, &fault))
        return 0;
    fprintf(stderr, "ellwandd: %s%s%s\n", fault.where, fault.where[0] ? ": " : "", fault.message);
    return daemon_cannot_mend(&fault) ? 2 : 1;
}
