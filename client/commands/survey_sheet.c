/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "sheet_file.h"

#include "takeoff/catalogue.h"

/* The catalogue of a file, checked as a whole, or the workshop's. NULL with *code set otherwise. */
static json_t *read_catalogue(struct program *program, int *code) {
    const char *path = program_option(program, "catalogue");
    json_t *rows = NULL;
    if (path == NULL) {
        *code = program_call(program, "catalogue.export", json_object(), &rows);
        return rows;
    }
    struct fault fault;
    rows = program_read(program, path);
    *code = rows == NULL ? EXIT_USAGE : EXIT_DONE;
    struct catalogue *catalogue = rows == NULL ? NULL : catalogue_read(rows, &fault);
    if (rows != NULL && catalogue == NULL) {
        *code = program_fault(program, &fault);
        json_decref(rows);
        rows = NULL;
    }
    catalogue_free(catalogue);
    return rows;
}

static int run(struct program *program) {
    static const char *const lists[] = {"substrates", "headings", "systems", "finishes"};
    static const char *const texts[] = {"order", "customer", "due", "unit"};
    int64_t windows;
    int code;
    if (!program_number(program, "windows", 1, 100, 1, &windows))
        return EXIT_USAGE;
    json_t *catalogue = read_catalogue(program, &code);
    if (catalogue == NULL)
        return code;
    json_t *document = json_pack("{s:I}", "windows", (json_int_t)windows);
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++)
        json_object_set(document, lists[i], json_object_get(catalogue, lists[i]));
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        if (program_option(program, texts[i]) != NULL)
            json_object_set_new(document, texts[i], json_string(program_option(program, texts[i])));
    code = sheet_file_write(program, "measuring-sheet", document, program->arguments[0]);
    json_decref(document);
    json_decref(catalogue);
    return code;
}

static const struct command_option options[] = {
    {"catalogue", "FILE", "Take systems, walls and headings from this file; no daemon is asked"},
    {"windows", "NUMBER", "A page for each of so many windows [1]"},
    {"order", "NUMBER", "Printed on it, as are ..."},
    {"customer", "TEXT", ""},
    {"due", "DATE", ""},
    {"unit", "UNIT", "What lengths are written in: mm, cm or in [mm]"},
    {0}};

const struct command command_survey_sheet = {
    .name = "survey sheet",
    .group = GROUP_DESK,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Draw the measuring sheet, a form to fill in at the window, as PDF",
    .more =
        "It asks what a survey asks, in the same words and order, with the walls, tracks and headings of the "
        "catalogue to tick.",
    .options = options,
    .run = run,
};
