/* SPDX-License-Identifier: Apache-2.0 */
#include "catalogue_tables.h"
#include "csv_file.h"
#include "file_text.h"

static void show_list(const struct screen *screen, const char *section, const char *what,
                      const json_t *codes) {
    size_t index;
    json_t *code;
    if (json_array_size(codes) == 0)
        return;
    fprintf(screen->file, "%s %s:", section, what);
    json_array_foreach((json_t *)codes, index, code) {
        putc(' ', screen->file);
        screen_text(screen, PAINT_BOLD, json_string_value(code));
    }
    putc('\n', screen->file);
}

static void show(const struct program *program, const json_t *answer) {
    static const char *const words[] = {"added", "changed", "removed"};
    json_t *changes = json_object_get(answer, "changes"), *change;
    const json_t *version = json_object_get(answer, "version");
    const char *section;
    json_object_foreach(changes, section, change) {
        for (size_t i = 0; i < 3; i++)
            show_list(&program->screen, section, words[i], json_object_get(change, words[i]));
    }
    if (json_object_size(changes) == 0)
        fputs("Nothing changes.\n", program->screen.file);
    if (version != NULL)
        fprintf(program->screen.file, "The catalogue is now version %" JSON_INTEGER_FORMAT ".\n",
                json_integer_value(version));
}

/* The whole catalogue, as JSON. */
static int import_document(struct program *program) {
    json_t *document = program_read(program, program->arguments[0]), *answer = NULL;
    if (document == NULL)
        return EXIT_USAGE;
    int code = program_call(
        program, "catalogue.import",
        json_pack("{s:o, s:b}", "catalogue", document, "dry_run", program_switch(program, "dry-run")),
        &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

/* One table of it, as CSV, in the place of the one that is there. */
static int exchange(struct program *program, const char *name, const json_t *rows, const json_t *lines) {
    struct ell_error error = {0};
    json_t *before = NULL, *answer = NULL;
    int code = program_call(program, "catalogue.export", NULL, &before);
    if (code == EXIT_DONE)
        code = program_ask(
            program, "catalogue.import",
            json_pack("{s:{s:O}, s:b}", "tables", name, rows, "dry_run", program_switch(program, "dry-run")),
            &answer, &error);
    if (error.message[0] != '\0')
        code = csv_file_refused(program, program->arguments[0], name, lines, &error);
    if (code == EXIT_DONE && !program_json(program, answer)) {
        json_t *old = catalogue_table_rows(before, name);
        show(program, answer);
        catalogue_table_differences(
            program, old, rows,
            json_object_get(json_object_get(json_object_get(answer, "changes"), name), "changed"));
        json_decref(old);
    }
    json_decref(answer);
    json_decref(before);
    return code;
}

static int import_table(struct program *program) {
    const char *name = catalogue_table_name(program);
    json_t *lines = json_array();
    json_t *rows = name == NULL ? NULL : catalogue_table_import(program, program->arguments[0], lines);
    int code = name == NULL ? EXIT_USAGE : EXIT_REFUSED;
    if (rows != NULL)
        code = exchange(program, name, rows, lines);
    json_decref(rows);
    json_decref(lines);
    return code;
}

static int run(struct program *program) {
    return program_option(program, "table") != NULL || file_is_csv(program->arguments[0])
               ? import_table(program)
               : import_document(program);
}

static const struct command_option options[] = {
    {"dry-run", NULL, "Only say what would change"},
    {"table", "NAME",
     "The file is CSV, in the place of this table: parts, bars, suppliers, .. [parts for a .csv]"},
    {0}};

const struct command command_catalogue_import = {
    .name = "catalogue import",
    .group = GROUP_SETUP,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Check a catalogue as a whole and make it the workshop's",
    .more = "As CSV one table at a time, as `ellwand catalogue export --table` writes it; rows that are not "
            "in the file go. The "
            "catalogue is checked as a whole all the same, and nothing is taken when anything is wrong.",
    .options = options,
    .run = run,
};
