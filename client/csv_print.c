/* SPDX-License-Identifier: Apache-2.0 */
#include "csv_print.h"

#include <csv.h>
#include <string.h>

static void print_value(FILE *file, bool first, bool last, const char *text) {
    if (!first)
        putc(',', file);
    csv_fwrite(file, text, strlen(text));
    if (last)
        fputs("\r\n", file);
}

static void print_row(FILE *file, const struct column columns[], size_t count, const json_t *row) {
    char text[256];
    for (size_t i = 0; i < count; i++) {
        struct column column = columns[i];
        column.kind = (enum column_kind)(column.kind & ~COLUMN_MINOR);
        if (column.kind == COLUMN_TIME)
            column.kind = COLUMN_TEXT;
        if (column.kind == COLUMN_SHARE)
            column.kind = COLUMN_NUMBER;
        field_figure(row, &column, text);
        print_value(file, i == 0, i + 1 == count, text);
    }
}

void csv_print(FILE *file, const struct column columns[], size_t count, const json_t *rows) {
    size_t at;
    const json_t *row;
    for (size_t i = 0; i < count; i++)
        print_value(file, i == 0, i + 1 == count, columns[i].field);
    json_array_foreach((json_t *)rows, at, row) {
        print_row(file, columns, count, row);
    }
}
