/* SPDX-License-Identifier: Apache-2.0 */
#include "catalogue_tables.h"

#include "csv_file.h"
#include "csv_table.h"

#include "common/document.h"

#include <stdlib.h>
#include <string.h>

const char *catalogue_table_name(const struct program *program) {
    static const char *const names[] = {"parts",      "bars",     "suppliers", "finishes",
                                        "substrates", "headings", "saws",      "label_stocks"};
    const char *name = program_option(program, "table");
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (name == NULL || strcmp(name, names[i]) == 0)
            return names[i];
    program_wrong(
        program, EXIT_USAGE, name,
        "There is no such table; known are parts, bars, suppliers, finishes, substrates, headings, saws and "
        "label_stocks. Systems and the workshop's practice go by JSON alone.");
    return NULL;
}

static json_t *all_bars(const json_t *document) {
    json_t *rows = json_array(), *system, *bar;
    size_t i, b;
    json_array_foreach(json_object_get(document, "systems"), i, system) {
        json_array_foreach(json_object_get(system, "bars"), b, bar) {
            json_t *row = json_pack("{s:O}", "system", json_object_get(system, "code"));
            json_object_update(row, bar);
            json_array_append_new(rows, row);
        }
    }
    return rows;
}

json_t *catalogue_table_rows(const json_t *document, const char *name) {
    json_t *rows = json_object_get(document, name);
    if (strcmp(name, "bars") == 0)
        return all_bars(document);
    return rows == NULL ? json_array() : json_incref(rows);
}

/* The names of all fields, those that come first in the first rows first. */
static size_t field_names(const json_t *rows, const char *names[CSV_COLUMNS + 1]) {
    size_t index, count = 0;
    json_t *row, *value;
    const char *name;
    json_array_foreach((json_t *)rows, index, row) {
        json_object_foreach(row, name, value) {
            bool known = false;
            for (size_t i = 0; i < count; i++)
                known = known || strcmp(names[i], name) == 0;
            if (!known && count < CSV_COLUMNS)
                names[count++] = name;
        }
    }
    names[count] = NULL;
    return count;
}

int catalogue_table_export(const struct program *program, const json_t *document, const char *name,
                           const char *path) {
    const char *names[CSV_COLUMNS + 1];
    json_t *rows = catalogue_table_rows(document, name), *lists = json_array(), *row;
    size_t index, count = field_names(rows, names);
    json_array_foreach(rows, index, row) {
        json_t *cells = json_array();
        for (size_t i = 0; i < count; i++) {
            json_t *value = json_object_get(row, names[i]);
            json_array_append_new(cells, value == NULL ? json_null() : json_incref(value));
        }
        json_array_append_new(lists, cells);
    }
    int code = csv_file_write(program, path, names, lists);
    json_decref(lists);
    json_decref(rows);
    return code;
}

/* A code or name is text even where it looks like a number; anything else is what it looks like. */
static json_t *value_of(const char *column, const char *text) {
    static const char *const texts[] = {"code",     "name", "unit",  "role",
                                        "supplier", "note", "judge", "system"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        if (strcmp(column, texts[i]) == 0)
            return json_string(text);
    json_t *value = json_loads(text, JSON_DECODE_ANY | JSON_REJECT_DUPLICATES, NULL);
    if (value != NULL && !json_is_string(value) && !json_is_null(value))
        return value;
    json_decref(value);
    return json_string(text);
}

json_t *catalogue_table_import(const struct program *program, const char *path, json_t *lines) {
    json_t *table = csv_file_read(program, path), *rows = json_array(), *row;
    const json_t *columns = json_object_get(table, "columns");
    size_t index;
    json_array_foreach(json_object_get(table, "rows"), index, row) {
        json_t *made = json_object();
        for (size_t i = 0; i < json_array_size(columns); i++) {
            const char *column = json_string_value(json_array_get(columns, i)), *text = csv_cell(row, (int)i);
            if (text != NULL)
                json_object_set_new(made, column, value_of(column, text));
        }
        json_array_append_new(rows, made);
        json_array_append(lines, json_object_get(row, "line"));
    }
    bool read = table != NULL;
    json_decref(table);
    if (read)
        return rows;
    json_decref(rows);
    return NULL;
}

static const json_t *row_of(const json_t *rows, const char *code) {
    size_t index;
    json_t *row;
    json_array_foreach((json_t *)rows, index, row) {
        const char *own = json_string_value(json_object_get(row, "code"));
        if (own != NULL && strcmp(own, code) == 0)
            return row;
    }
    return NULL;
}

static void show_value(const struct program *program, const json_t *value) {
    char *text = value == NULL ? NULL : json_dumps(value, DOCUMENT_COMPACT);
    screen_text(&program->screen, PAINT_PLAIN, text == NULL ? "nothing" : text);
    free(text);
}

static void show_fields(const struct program *program, const char *code, const json_t *before,
                        const json_t *after) {
    const char *names[CSV_COLUMNS + 1];
    json_t *both = json_pack("[O, O]", before, after);
    size_t count = field_names(both, names);
    for (size_t i = 0; i < count; i++) {
        const json_t *old = json_object_get(before, names[i]), *new = json_object_get(after, names[i]);
        if (old == new || (old != NULL && new != NULL &&json_equal(old, new)))
            continue;
        fputs("  ", program->screen.file);
        screen_text(&program->screen, PAINT_BOLD, code);
        fprintf(program->screen.file, ": %s from ", names[i]);
        show_value(program, old);
        fputs(" to ", program->screen.file);
        show_value(program, new);
        putc('\n', program->screen.file);
    }
    json_decref(both);
}

void catalogue_table_differences(const struct program *program, const json_t *before, const json_t *after,
                                 const json_t *changed) {
    size_t index;
    json_t *code;
    json_array_foreach((json_t *)changed, index, code) {
        const char *text = json_string_value(code);
        const json_t *old = text == NULL ? NULL : row_of(before, text),
                     *new = text == NULL ? NULL : row_of(after, text);
        if (old != NULL && new != NULL)
            show_fields(program, text, old, new);
    }
}
