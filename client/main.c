/* `ellwand`: finds the command, reads its options, runs it. SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "settings.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>

const char *argp_program_version = "ellwand " ELLWAND_VERSION;

/* --- Before the command is known --- */

enum { LIST_COMMANDS = 3000 };

struct start {
    struct settings_given given;
    const struct command *command;
    const char *first;
    int used; /* words of the command line up to and with the command */
};

/* Two words are tried before one, so that "order list" is not taken for "order". */
static const struct command *find_command(const char *first, const char *second, int *words) {
    char both[128];
    snprintf(both, sizeof both, "%s %s", first, second != NULL ? second : "");
    for (*words = 2; *words >= 1; --*words)
        for (size_t i = 0; i < command_count; i++)
            if (strcmp(command_table[i]->name, *words == 2 ? both : first) == 0)
                return command_table[i];
    return NULL;
}

/* "order" alone: which commands begin so. */
static int list_group(const struct program *program, const char *first) {
    size_t length = strlen(first), found = 0;
    for (size_t i = 0; i < command_count; i++) {
        const char *name = command_table[i]->name;
        if (strncmp(name, first, length) != 0 || name[length] != ' ')
            continue;
        if (found++ == 0)
            program_wrong(program, EXIT_USAGE, first, "Say which of these:");
        fprintf(program->notices.file, "  %-18s %s\n", name, command_table[i]->summary);
    }
    return found > 0
               ? EXIT_USAGE
               : program_wrong(program, EXIT_USAGE, first, "There is no such command; see: ellwand --help");
}

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
        start->command = find_command(value, second, &words);
        start->used = state->next - 1 + words;
        state->next = state->argc;
        return 0;
    }
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* One command with its summary, which goes on below itself where it is long. */
static void list_command(FILE *stream, const struct command *command) {
    enum { NAME = 21, LINE = 77 };
    int used = fprintf(stream, "  %-18s", command->name);
    const char *word = command->summary;
    while (*word != '\0') {
        int length = (int)strcspn(word, " ");
        if (used + 1 + length > LINE)
            used = fprintf(stream, "\n%*s", NAME - 1, "") - 1;
        used += fprintf(stream, " %.*s", length, word);
        word += length + (word[length] == ' ');
    }
    putc('\n', stream);
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
    fputs("Commands (each has its own --help):\n", stream);
    for (size_t i = 0; i < command_count; i++)
        list_command(stream, command_table[i]);
    fputs("\nEnds with 0: done; 1: refused, or a check found something; 2: the command line\nor the settings "
          "are wrong; 3: no daemon answers; 4: no answer in time; 5: the\ndaemon does not take this key; 6: "
          "other trouble.\n",
          stream);
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

/* --- The command's own options --- */

enum { OWN = 2000 }; /* key of the command's first option */

struct reading {
    struct program *program;
    struct settings_given *given;
    char **arguments;
};

static error_t command_option(int option, char *value, struct argp_state *state) {
    struct reading *reading = state->input;
    struct program *program = reading->program;
    const struct command *command = program->command;
    if (option == ARGP_KEY_INIT) {
        state->child_inputs[0] = reading->given;
    } else if (option == ARGP_KEY_ARG) {
        if (command->most >= 0 && program->argument_count >= command->most)
            argp_error(state, "\"%s\" is one argument too many", value);
        reading->arguments[program->argument_count++] = value;
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

static void list_options(const struct command *command, struct argp_option options[COMMAND_OPTIONS + 1]) {
    for (int i = 0; command->options != NULL && i < COMMAND_OPTIONS && command->options[i].name != NULL; i++)
        options[i] = (struct argp_option){.name = command->options[i].name,
                                          .key = OWN + i,
                                          .arg = command->options[i].value,
                                          .doc = command->options[i].help};
}

/* `words` are the command line from the command's last word on; the first stands for the program's name. */
static void read_options(struct program *program, struct settings_given *given, int count, char **words) {
    const struct command *command = program->command;
    struct argp_option options[COMMAND_OPTIONS + 1] = {{0}};
    char name[140], explanation[4096];
    list_options(command, options);
    snprintf(name, sizeof name, "ellwand %s", command->name);
    snprintf(explanation, sizeof explanation, "%s\v%s", command->summary,
             command->more != NULL ? command->more : "");
    words[0] = name;
    struct argp argp = {command->options != NULL ? options : NULL,
                        command_option,
                        command->arguments,
                        explanation,
                        settings_child,
                        NULL,
                        NULL};
    struct reading reading = {.program = program, .given = given, .arguments = program->arguments};
    argp_parse(&argp, count, words, 0, NULL, &reading);
}

static int run(struct program *program, const struct settings_given *given) {
    struct fault fault;
    if (!settings_read(given, &program->settings, &fault)) {
        program_fault(program, &fault);
        return EXIT_USAGE;
    }
    int code = program->command->run(program);
    ell_client_close(&program->client);
    /* A full disk behind a redirection must not look like success. */
    if (fflush(stdout) != 0 && code == EXIT_DONE)
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
        return list_group(&program, start.first);
    program.command = start.command;
    program.arguments = calloc((size_t)count, sizeof *program.arguments);
    program.given = calloc((size_t)count, sizeof *program.given);
    if (program.arguments == NULL || program.given == NULL)
        return program_wrong(&program, EXIT_TROUBLE, "", "There is not enough memory.");
    read_options(&program, &start.given, count - start.used + 1, words + start.used - 1);
    int code = run(&program, &start.given);
    free(program.given);
    free(program.arguments);
    return code;
}
