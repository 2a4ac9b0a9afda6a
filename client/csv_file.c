/* SPDX-License-Identifier: Apache-2.0 */
#include "csv_file.h"

#include "csv_table.h"
#include "file_text.h"
#include "new_file.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

json_t *csv_file_read(const struct program *program, const char *path) {
    size_t count;
    struct fault fault;
    char *bytes = file_text(program, path, CSV_BYTES, &count);
    json_t *table = bytes == NULL ? NULL : csv_table(bytes, count, &fault);
    if (bytes != NULL && table == NULL)
        program_wrong(program, EXIT_REFUSED, path, "%s: %s", fault.where, fault.message);
    free(bytes);
    return table;
}

static void write_rows(FILE *file, const char *const columns[], const json_t *rows) {
    json_t *names = json_array(), *row;
    size_t index;
    for (size_t i = 0; columns[i] != NULL; i++)
        json_array_append_new(names, json_string(columns[i]));
    csv_row(file, names);
    json_array_foreach((json_t *)rows, index, row) csv_row(file, row);
    json_decref(names);
}

int csv_file_write(const struct program *program, const char *path, const char *const columns[],
                   const json_t *rows) {
    struct new_file new;
    if (path == NULL) {
        write_rows(program->screen.file, columns, rows);
        return EXIT_DONE;
    }
    bool good = new_file_begin(path, &new);
    if (good) {
        write_rows(new.file, columns, rows);
        good = new_file_keep(&new, path);
    }
    return good ? EXIT_DONE
                : program_wrong(program, EXIT_TROUBLE, path, "The file cannot be written: %s.",
                                strerror(errno));
}

int csv_file_refused(struct program *program, const char *path, const char *list, const json_t *lines,
                     const struct ell_error *error) {
    size_t length = strlen(list);
    if (strncmp(error->where, list, length) != 0 || error->where[length] != '[')
        return program_refused(program, error);
    char *rest = NULL;
    unsigned long row = strtoul(error->where + length + 1, &rest, 10);
    const json_t *line = json_array_get(lines, row);
    if (line == NULL || *rest != ']')
        return program_refused(program, error);
    const char *field = rest[1] == '.' ? rest + 2 : "";
    return program_wrong(program, EXIT_REFUSED, path, "line %" JSON_INTEGER_FORMAT "%s%s: %s",
                         json_integer_value(line), field[0] != '\0' ? ", column " : "", field,
                         error->message);
}
