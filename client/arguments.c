/* SPDX-License-Identifier: Apache-2.0 */
#include "arguments.h"

enum { OWN = 2000 }; /* key of the command's first option */

struct reading {
    struct program *program;
    struct settings_given *given;
};

static error_t take(int option, char *value, struct argp_state *state) {
    struct reading *reading = state->input;
    if (option == ARGP_KEY_INIT && reading == NULL) /* only the help is wanted */
        return 0;
    if (reading == NULL)
        return ARGP_ERR_UNKNOWN;
    struct program *program = reading->program;
    const struct command *command = program->command;
    if (option == ARGP_KEY_INIT) {
        state->child_inputs[0] = reading->given;
    } else if (option == ARGP_KEY_ARG) {
        if (command->most >= 0 && program->argument_count >= command->most)
            argp_error(state, "\"%s\" is one argument too many", value);
        program->arguments[program->argument_count++] = value;
    } else if (option == ARGP_KEY_END) {
        if (program->argument_count < command->least)
            argp_error(state, "an argument is missing: %s", command->arguments);
    } else if (option >= OWN && option < OWN + COMMAND_OPTIONS) {
        program->given[program->given_count++] =
            (struct option_given){.option = option - OWN, .value = value != NULL ? value : ""};
    } else {
        return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static const struct argp_child settings_child[] = {{&settings_argp, 0, NULL, 0}, {0}};

/* What argp needs to know of one command. */
struct table {
    struct argp_option options[COMMAND_OPTIONS + 1];
    char name[140], explanation[4096];
    struct argp argp;
};

static void table_make(const struct command *command, struct table *table) {
    *table = (struct table){.name = ""};
    for (int i = 0; command->options != NULL && i < COMMAND_OPTIONS && command->options[i].name != NULL; i++)
        table->options[i] = (struct argp_option){.name = command->options[i].name,
                                                 .key = OWN + i,
                                                 .arg = command->options[i].value,
                                                 .doc = command->options[i].help};
    snprintf(table->name, sizeof table->name, "ellwand %s", command->name);
    snprintf(table->explanation, sizeof table->explanation, "%s\v%s", command->summary,
             command->more != NULL ? command->more : "");
    table->argp = (struct argp){command->options != NULL ? table->options : NULL,
                                take,
                                command->arguments,
                                table->explanation,
                                settings_child,
                                NULL,
                                NULL};
}

void arguments_read(struct program *program, struct settings_given *given, int count, char **words) {
    struct table table;
    table_make(program->command, &table);
    words[0] = table.name;
    struct reading reading = {.program = program, .given = given};
    argp_parse(&table.argp, count, words, 0, NULL, &reading);
}

void arguments_help(const struct command *command, FILE *stream) {
    struct table table;
    table_make(command, &table);
    argp_help(&table.argp, stream, ARGP_HELP_STD_HELP & ~ARGP_HELP_EXIT_OK, table.name);
}
