/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static json_t *one_bin(struct program *program) {
    int64_t walk;
    if (!program_number(program, "walk", 0, 1000000, 0, &walk))
        return NULL;
    return json_pack("{s:[{s:s, s:I}]}", "bins", "code", program->arguments[0], "walk", (json_int_t)walk);
}

static int run(struct program *program) {
    static const struct column columns[] = {
        {"bin", "bin", COLUMN_TEXT}, {"code", "code", COLUMN_TEXT}, {"walk", "walk", COLUMN_NUMBER}};
    const char *file = program_option(program, "file");
    if ((file == NULL) != (program->argument_count == 1))
        return program_wrong(program, EXIT_USAGE, "bin set", "Give a bin, or --file.");
    json_t *body = file != NULL ? program_read(program, file) : one_bin(program);
    return body == NULL ? EXIT_USAGE
                        : program_list(program, "bin.set", body, "bins", columns,
                                       sizeof columns / sizeof columns[0], "");
}

static const struct command_option options[] = {
    {"walk", "NUMBER", "Where it comes along the walk through the stores [0]"},
    {"file", "FILE", "A JSON file {\"bins\": [{\"code\", \"walk\"}]}"},
    {0}};

const struct command command_bin_set = {
    .name = "bin set",
    .group = GROUP_SETUP,
    .arguments = "[BIN]",
    .least = 0,
    .most = 1,
    .summary = "Make bins, or change where they come along the walk",
    .options = options,
    .run = run,
};
