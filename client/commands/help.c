/* SPDX-License-Identifier: Apache-2.0 */
#include "arguments.h"
#include "listing.h"

static int run(struct program *program) {
    FILE *file = program->screen.file;
    const char *first = program->arguments[0], *second = program->arguments[1];
    int words;
    if (program->argument_count == 0) {
        listing_all(file);
        return EXIT_DONE;
    }
    if (program->argument_count == 1)
        second = NULL;
    const struct command *command = listing_find(first, second, &words);
    if (command != NULL && words == program->argument_count) {
        arguments_help(command, file);
        return EXIT_DONE;
    }
    if (second == NULL && (listing_thing(file, first) > 0 || listing_person(file, first) > 0))
        return EXIT_DONE;
    return listing_unknown(program, first, second);
}

const struct command command_help = {
    .name = "help",
    .group = GROUP_ANYONE,
    .arguments = "[COMMAND | THING | PERSON]",
    .most = 2,
    .summary = "What a command does, or which there are about a thing or for a person",
    .more =
        "A thing is what commands begin with, such as kit or order; a person is one of anyone, desk, saw, "
        "stores, manager and set-up.",
    .run = run,
};
