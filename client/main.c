/* `ellwand`: finds the command, reads its options, runs it. SPDX-License-Identifier: Apache-2.0 */
#include "arguments.h"
#include "listing.h"

#include <ellwand/version.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>

const char *argp_program_version = "ellwand " ELL_VERSION;

/* --- Before the command is known --- */

enum { LIST_COMMANDS = 3000 };

struct start {
    struct settings_given given;
    const struct command *command;
    const char *first, *second; /* NULL: none; an option is no second word */
    int used;                   /* words of the command line up to and with the command */
};

/* One name a line, for completion in a shell. */
static void list_names(void) {
    for (size_t i = 0; i < command_count; i++)
        puts(command_table[i]->name);
}

static error_t start_option(int option, char *value, struct argp_state *state) {
    struct start *start = state->input;
    switch (option) {
    case ARGP_KEY_INIT:
        state->child_inputs[0] = &start->given;
        return 0;
    case LIST_COMMANDS:
        list_names();
        exit(EXIT_DONE);
    case ARGP_KEY_ARG: {
        int words;
        const char *second = state->next < state->argc ? state->argv[state->next] : NULL;
        start->first = value;
        start->command = listing_find(value, second, &words);
        if (start->command == NULL && second != NULL && strcmp(second, "--help") == 0 &&
            listing_thing(stdout, value) > 0)
            exit(EXIT_DONE);
        start->second = second != NULL && second[0] != '-' ? second : NULL;
        start->used = state->next - 1 + words;
        state->next = state->argc;
        return 0;
    }
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* The commands, for --help. Only the part after the options is made; argp frees it. */
static char *start_help(int key, const char *text, void *input) {
    (void)input;
    if (key != ARGP_KEY_HELP_EXTRA)
        return (char *)text;
    char *list = NULL;
    size_t size;
    FILE *stream = open_memstream(&list, &size);
    if (stream == NULL)
        return NULL;
    fputs(
        "Each command has its own --help. More: `ellwand help kit` (all about kits),\n`ellwand help stores` "
        "(all that the stores do).\n\n",
        stream);
    listing_all(stream);
    fprintf(stream, "\n%s", program_exits);
    fclose(stream);
    return list;
}

static const struct argp_child settings_child[] = {{&settings_argp, 0, NULL, 0}, {0}};
static const struct argp_option start_options[] = {
    {"commands", LIST_COMMANDS, NULL, OPTION_HIDDEN, "The names of all commands, one a line", 0}, {0}};
static const struct argp start_argp = {start_options,
                                       start_option,
                                       "COMMAND [ARGUMENTS]",
                                       "Curtain tracks from the survey to the packed kit.",
                                       settings_child,
                                       start_help,
                                       NULL};

/* --- The command --- */

static int run(struct program *program, const struct settings_given *given) {
    struct fault fault;
    if (!settings_read(given, &program->settings, &fault)) {
        program_fault(program, &fault);
        return EXIT_USAGE;
    }
    int code = program->command->run(program);
    ell_client_close(&program->client);
    /* A full disk behind a redirection must not look like success. */
    if ((fflush(program->screen.file) != 0 || fflush(stdout) != 0) && code == EXIT_DONE)
        code = program_wrong(program, EXIT_TROUBLE, "standard output", "The output cannot be written.");
    return code;
}

int main(int count, char **words) {
    struct start start = {0};
    struct program program = {0};
    setlocale(LC_ALL, "");
    setlocale(LC_NUMERIC, "C"); /* lengths have a point, whatever the country */
    argp_err_exit_status = EXIT_USAGE;
    screen_open(&program.screen, stdout);
    screen_open(&program.notices, stderr);
    argp_parse(&start_argp, count, words, ARGP_IN_ORDER, NULL, &start);
    if (start.first == NULL)
        return program_wrong(&program, EXIT_USAGE, "", "Say what to do; the commands are in: ellwand --help");
    if (start.command == NULL)
        return listing_unknown(&program, start.first, start.second);
    program.command = start.command;
    program.arguments = calloc((size_t)count, sizeof *program.arguments);
    program.given = calloc((size_t)count, sizeof *program.given);
    if (program.arguments == NULL || program.given == NULL)
        return program_wrong(&program, EXIT_TROUBLE, "", "There is not enough memory.");
    arguments_read(&program, &start.given, count - start.used + 1, words + start.used - 1);
    int code = run(&program, &start.given);
    free(program.given);
    free(program.arguments);
    return code;
}
