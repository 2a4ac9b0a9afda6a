/* SPDX-License-Identifier: Apache-2.0 */
#include "csv_table.h"

#include "common/document.h"

#include <csv.h>
#include <stdlib.h>
#include <string.h>

static bool starts_formula(char first) {
    return first != '\0' && strchr("=+-@\t\r\n", first) != NULL;
}

static void put_text(FILE *file, const char *text) {
    bool guard = starts_formula(text[0]) || (text[0] == '\'' && (starts_formula(text[1]) || text[1] == '\''));
    size_t length = strlen(text);
    bool quote = guard || strpbrk(text, ",\"\r\n") != NULL ||
                 (length > 0 && (strchr(" \t", text[0]) != NULL || strchr(" \t", text[length - 1]) != NULL));
    if (quote)
        putc('"', file);
    if (guard)
        putc('\'', file);
    for (; *text != '\0'; text++) {
        if (*text == '"')
            putc('"', file);
        putc(*text, file);
    }
    if (quote)
        putc('"', file);
}

static void put_cell(FILE *file, const json_t *cell) {
    if (cell == NULL || json_is_null(cell))
        return;
    if (json_is_string(cell)) {
        put_text(file, json_string_value(cell));
        return;
    }
    char *text = json_dumps(cell, DOCUMENT_COMPACT);
    if (text != NULL && (json_is_object(cell) || json_is_array(cell)))
        put_text(file, text);
    else if (text != NULL)
        fputs(text, file);
    free(text);
}

void csv_row(FILE *file, const json_t *cells) {
    for (size_t i = 0; i < json_array_size(cells); i++) {
        if (i > 0)
            putc(',', file);
        put_cell(file, json_array_get(cells, i));
    }
    fputs("\r\n", file);
}

/* What libcsv calls back into. The first thing that is wrong stops everything after it. */
struct reading {
    json_t *columns, *rows, *cells; /* cells: of the row that is being read */
    struct fault *fault;
    bool failed, filled;
    size_t line, more_lines; /* where the row begins, and the line ends inside its quotes */
    int last_end;            /* what ended the row before, so that CR LF is one line end */
};

static bool wrong(struct reading *reading, size_t column, const char *code, const char *message) {
    char where[160];
    const char *name = json_string_value(json_array_get(reading->columns, column));
    if (reading->failed)
        return false;
    reading->failed = true;
    if (name != NULL)
        snprintf(where, sizeof where, "line %zu, column %s", reading->line, name);
    else
        snprintf(where, sizeof where, "line %zu, column %zu", reading->line, column + 1);
    return fault_set(reading->fault, code, where, "%s", message);
}

/* The byte order mark that some programs put at the start of a file. */
static bool starts_with_mark(const char *text, size_t count) {
    return count >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0;
}

static void on_cell(void *bytes, size_t count, void *data) {
    struct reading *reading = data;
    const char *text = bytes;
    size_t column = json_array_size(reading->cells);
    if (reading->failed)
        return;
    for (size_t i = 0; i < count; i++)
        reading->more_lines +=
            text[i] == '\n' || (text[i] == '\r' && (i + 1 == count || text[i + 1] != '\n'));
    if (count > 1 && text[0] == '\'' && (starts_formula(text[1]) || text[1] == '\'')) {
        text++;
        count--;
    }
    json_t *cell = count == 0 ? json_null() : json_stringn(text, count);
    if (count > CSV_CELL)
        wrong(reading, column, "out-of-range", "A cell has at most 4000 bytes; shorten it.");
    else if (column == CSV_COLUMNS)
        wrong(reading, column, "out-of-range", "A table has at most 64 columns; take some out.");
    else if (cell == NULL || (count > 0 && strlen(json_string_value(cell)) != count) ||
             starts_with_mark(text, count))
        wrong(reading, column, "bad-text", "This is not text in UTF-8; save the table as CSV in UTF-8.");
    reading->filled = reading->filled || count > 0;
    json_array_append_new(reading->cells, cell);
}

static void take_header(struct reading *reading) {
    for (size_t i = 0; i < json_array_size(reading->cells); i++) {
        const json_t *cell = json_array_get(reading->cells, i);
        if (!json_is_string(cell) || json_string_length(cell) >= CSV_NAME)
            wrong(reading, i, "out-of-range",
                  "Each column needs a name in the first line, of at most 59 bytes.");
        for (size_t j = 0; j < i; j++)
            if (json_equal(json_array_get(reading->cells, j), cell))
                wrong(reading, i, "twice-named", "Two columns have this name; take one out.");
    }
    reading->columns = json_incref(reading->cells);
}

static void take_row(struct reading *reading) {
    size_t count = json_array_size(reading->cells), columns = json_array_size(reading->columns);
    if (count != columns)
        wrong(reading, count < columns ? count : columns, "bad-csv",
              count < columns
                  ? "This row has too few cells; each row has one for each column."
                  : "This row has more cells than there are columns; put quotes around text with a comma.");
    else if (json_array_size(reading->rows) == CSV_ROWS)
        wrong(reading, 0, "out-of-range", "A table has at most 200000 rows; split the file.");
    else
        json_array_append_new(reading->rows, json_pack("{s:I, s:O}", "line", (json_int_t)reading->line,
                                                       "cells", reading->cells));
}

static void on_row(int end, void *data) {
    struct reading *reading = data;
    if (!reading->failed && reading->filled) {
        if (reading->columns == NULL)
            take_header(reading);
        else
            take_row(reading);
    }
    reading->line += reading->more_lines + !(end == '\n' && reading->last_end == '\r' && !reading->filled);
    reading->more_lines = 0;
    reading->last_end = end;
    reading->filled = false;
    json_decref(reading->cells);
    reading->cells = json_array();
}

static void parse(struct reading *reading, const char *bytes, size_t count) {
    struct csv_parser parser;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_REPALL_NL) != 0) {
        wrong(reading, 0, "out-of-memory", "There is not enough memory to read the file.");
        return;
    }
    if (csv_parse(&parser, bytes, count, on_cell, on_row, reading) != count ||
        csv_fini(&parser, on_cell, on_row, reading) != 0)
        wrong(reading, json_array_size(reading->cells),
              csv_error(&parser) == CSV_ENOMEM ? "out-of-memory" : "bad-csv",
              "This is not CSV: a quote inside a cell is written twice, within quotes around the cell.");
    csv_free(&parser);
}

json_t *csv_table(const char *bytes, size_t count, struct fault *fault) {
    struct reading reading = {.rows = json_array(), .cells = json_array(), .fault = fault, .line = 1};
    size_t mark = starts_with_mark(bytes, count) ? 3 : 0;
    parse(&reading, bytes + mark, count - mark);
    if (reading.columns == NULL)
        wrong(&reading, 0, "bad-csv", "The table is empty; its first line names the columns.");
    json_t *table =
        reading.failed ? NULL : json_pack("{s:O, s:O}", "columns", reading.columns, "rows", reading.rows);
    json_decref(reading.columns);
    json_decref(reading.rows);
    json_decref(reading.cells);
    if (table == NULL && !reading.failed)
        fault_memory(fault);
    return table;
}

int csv_column(const json_t *table, const char *name) {
    const json_t *columns = json_object_get(table, "columns");
    for (size_t i = 0; i < json_array_size(columns); i++)
        if (strcmp(json_string_value(json_array_get(columns, i)), name) == 0)
            return (int)i;
    return -1;
}

const char *csv_cell(const json_t *row, int column) {
    return column < 0 ? NULL
                      : json_string_value(json_array_get(json_object_get(row, "cells"), (size_t)column));
}

bool csv_wrong(const json_t *table, const json_t *row, int column, const char *code, const char *message,
               struct fault *fault) {
    char where[160];
    long long line = json_integer_value(json_object_get(row, "line"));
    const char *name =
        column < 0 ? NULL
                   : json_string_value(json_array_get(json_object_get(table, "columns"), (size_t)column));
    if (name != NULL)
        snprintf(where, sizeof where, "line %lld, column %s", line, name);
    else
        snprintf(where, sizeof where, "line %lld", line);
    return fault_set(fault, code, where, "%s", message);
}
