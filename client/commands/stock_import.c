/* SPDX-License-Identifier: Apache-2.0 */
#include "csv_file.h"
#include "csv_table.h"
#include "stores_view.h"

#include <stdlib.h>
#include <string.h>

enum { LONG_MS = 300000 };

/* Where the columns of the file are; -1 for one that is not there. */
struct places {
    int part, bin, batch, quantity, booked;
};

static bool find_columns(const json_t *table, struct places *places, struct fault *fault) {
    static const char *const known[] = {"part", "name", "unit", "bin", "batch", "booked", "quantity"};
    const json_t *columns = json_object_get(table, "columns");
    *places = (struct places){csv_column(table, "part"), csv_column(table, "bin"), csv_column(table, "batch"),
                              csv_column(table, "quantity"), csv_column(table, "booked")};
    for (size_t i = 0; i < json_array_size(columns); i++) {
        bool found = false;
        for (size_t k = 0; k < sizeof known / sizeof known[0]; k++)
            found = found || strcmp(known[k], json_string_value(json_array_get(columns, i))) == 0;
        if (!found)
            return fault_set(
                fault, "unknown-field", json_string_value(json_array_get(columns, i)),
                "There is no such column; known are part, name, unit, bin, batch, booked and quantity.");
    }
    return (places->part >= 0 && places->bin >= 0 && places->quantity >= 0) ||
           fault_set(fault, "missing-field", "line 1", "The columns part, bin and quantity must be there.");
}

static bool read_number(const json_t *table, const json_t *row, int column, json_t **number,
                        struct fault *fault) {
    const char *text = csv_cell(row, column);
    *number = text == NULL ? NULL : json_loads(text, JSON_DECODE_ANY, NULL);
    return text == NULL || json_is_number(*number) ||
           csv_wrong(table, row, column, "wrong-type",
                     "This is no number; write it plainly, with a point for decimals and without a unit.",
                     fault);
}

/* The row as stock.import takes it, in *line; NULL where the books are not to change. */
static bool read_line(const json_t *table, const json_t *row, const struct places *places, json_t **line,
                      struct fault *fault) {
    json_t *quantity = NULL, *booked = NULL;
    const char *part = csv_cell(row, places->part), *bin = csv_cell(row, places->bin);
    *line = NULL;
    bool good = read_number(table, row, places->quantity, &quantity, fault) &&
                read_number(table, row, places->booked, &booked, fault);
    if (good && (part == NULL || bin == NULL || quantity == NULL))
        good = csv_wrong(table, row,
                         part == NULL  ? places->part
                         : bin == NULL ? places->bin
                                       : places->quantity,
                         "missing-field", "This cell is empty; each line names its part, bin and quantity.",
                         fault);
    if (good && !(booked != NULL && json_number_value(booked) == json_number_value(quantity)))
        *line = json_pack("{s:s, s:s, s:s*, s:O, s:O*}", "part", part, "bin", bin, "batch",
                          csv_cell(row, places->batch), "quantity", quantity, "booked", booked);
    json_decref(quantity);
    json_decref(booked);
    return good;
}

/* The lines that may change something, and where they stand in the file. */
static bool read_lines(const json_t *table, json_t *lines, json_t *numbers, struct fault *fault) {
    struct places places;
    size_t index;
    json_t *row, *line;
    if (!find_columns(table, &places, fault))
        return false;
    json_array_foreach(json_object_get(table, "rows"), index, row) {
        if (!read_line(table, row, &places, &line, fault))
            return false;
        if (line != NULL) {
            json_array_append_new(lines, line);
            json_array_append(numbers, json_object_get(row, "line"));
        }
    }
    return true;
}

static void show(const struct program *program, const json_t *answer) {
    static const struct column columns[] = {
        {"part", "part", COLUMN_TEXT},   {"name", "name", COLUMN_TEXT | COLUMN_MINOR},
        {"bin", "bin", COLUMN_TEXT},     {"batch", "batch", COLUMN_TEXT},
        {"from", "from", COLUMN_LENGTH}, {"to", "to", COLUMN_LENGTH}};
    json_int_t changed = json_integer_value(json_object_get(answer, "changed"));
    const json_t *changes = json_object_get(answer, "changes");
    bool dry_run = json_is_true(json_object_get(answer, "dry_run"));
    if (changed == 0) {
        fputs(dry_run ? "Nothing would change.\n" : "Nothing changes.\n", program->screen.file);
        return;
    }
    table_print(&program->screen, columns, sizeof columns / sizeof columns[0], changes, "");
    if ((json_int_t)json_array_size(changes) < changed)
        fprintf(program->screen.file, ".. and %" JSON_INTEGER_FORMAT " more.\n",
                changed - (json_int_t)json_array_size(changes));
    if (dry_run)
        fprintf(program->screen.file,
                "So much would change in %" JSON_INTEGER_FORMAT " places; nothing is booked yet.\n", changed);
    else
        stock_view(program, answer);
}

/* A long table takes its time; nobody wants to ask again for it. */
static void wait_longer(struct program *program) {
    if (program->settings.timeout_ms < LONG_MS)
        program->settings.timeout_ms = LONG_MS;
}

static int send(struct program *program, json_t *lines, const json_t *numbers) {
    struct ell_error error = {0};
    json_t *answer = NULL;
    json_t *body = json_pack("{s:O, s:b, s:s*}", "lines", lines, "dry_run",
                             program_switch(program, "dry-run"), "reason", program_option(program, "reason"));
    wait_longer(program);
    int code = program_ask(program, "stock.import", body, &answer, &error);
    if (error.message[0] != '\0')
        code = csv_file_refused(program, program->arguments[0], "lines", numbers, &error);
    else if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static int run(struct program *program) {
    struct fault fault;
    if (program_option(program, "reason") == NULL && !program_switch(program, "dry-run"))
        return program_wrong(program, EXIT_USAGE, "reason",
                             "Say why, with --reason, or look first with --dry-run.");
    json_t *table = csv_file_read(program, program->arguments[0]);
    if (table == NULL)
        return EXIT_REFUSED;
    json_t *lines = json_array(), *numbers = json_array();
    int code = read_lines(table, lines, numbers, &fault)
                   ? send(program, lines, numbers)
                   : program_wrong(program, EXIT_REFUSED, program->arguments[0], "%s: %s", fault.where,
                                   fault.message);
    json_decref(lines);
    json_decref(numbers);
    json_decref(table);
    return code;
}

static const struct command_option options[] = {
    {"dry-run", NULL, "Only say what would change"}, {"reason", "TEXT", "Why; it stays in the ledger"}, {0}};

const struct command command_stock_import = {
    .name = "stock import",
    .group = GROUP_MANAGER,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Bring stock to the quantities of a CSV file, by adjustments; all of it or nothing",
    .more = "Columns: part, bin, quantity, and if wanted batch and booked; name and unit are for people and "
            "are passed over. Where "
            "\"booked\" says what the books had when the file was written, only the difference to it is "
            "booked, on top of what "
            "came and went since; without it the quantity is what is there now. At most 100 000 lines, of "
            "which 20 000 may change something.",
    .options = options,
    .run = run,
};
