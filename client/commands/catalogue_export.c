/* SPDX-License-Identifier: Apache-2.0 */
#include "catalogue_tables.h"
#include "file_text.h"

static int run(struct program *program) {
    json_t *document = NULL;
    int code = program_call(program, "catalogue.export", NULL, &document);
    if (code != EXIT_DONE)
        return code;
    const char *path = program->argument_count > 0 ? program->arguments[0] : NULL;
    if (program_option(program, "table") != NULL || (path != NULL && file_is_csv(path))) {
        const char *name = catalogue_table_name(program);
        code = name == NULL ? EXIT_USAGE : catalogue_table_export(program, document, name, path);
    } else if (path == NULL) {
        json_dumpf(document, program->screen.file, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
        putc('\n', program->screen.file);
    } else if (json_dump_file(document, program->arguments[0], JSON_INDENT(1) | JSON_REAL_PRECISION(15)) !=
               0) {
        code = program_wrong(program, EXIT_TROUBLE, program->arguments[0], "This file cannot be written.");
    }
    json_decref(document);
    return code;
}

static const struct command_option options[] = {{"table", "NAME",
                                                 "One table as CSV: parts, bars (of all systems), suppliers, "
                                                 "finishes, substrates, headings, saws or label_stocks"},
                                                {0}};

const struct command command_catalogue_export = {
    .name = "catalogue export",
    .group = GROUP_SETUP,
    .arguments = "[FILE]",
    .least = 0,
    .most = 1,
    .summary = "The catalogue as a file that a person can edit and import again",
    .more = "In CSV a list within a row (what a part needs, its substitutes) is JSON in its cell. Text that "
            "a spreadsheet would "
            "take for a formula (it begins with = + - or @) gets an apostrophe in front, which the import "
            "takes off.",
    .options = options,
    .run = run,
};
