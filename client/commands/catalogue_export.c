/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    json_t *document = NULL;
    int code = program_call(program, "catalogue.export", NULL, &document);
    if (code != EXIT_DONE)
        return code;
    if (program->argument_count == 0) {
        json_dumpf(document, program->screen.file, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
        putc('\n', program->screen.file);
    } else if (json_dump_file(document, program->arguments[0], JSON_INDENT(1) | JSON_REAL_PRECISION(15)) !=
               0) {
        code = program_wrong(program, EXIT_TROUBLE, program->arguments[0], "This file cannot be written.");
    }
    json_decref(document);
    return code;
}

const struct command command_catalogue_export = {
    .name = "catalogue export",
    .arguments = "[FILE]",
    .least = 0,
    .most = 1,
    .summary = "The catalogue as a file that a person can edit and import again",
    .run = run,
};
