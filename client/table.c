/* Tables and fields. SPDX-License-Identifier: Apache-2.0 */
#include "screen.h"

#include "common/text.h"

#include <ellwand/length.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { NARROWEST = 8, GAP = 2 };

static const json_t *find_field(const json_t *object, const char *field) {
    const char *dot;
    while ((dot = strchr(field, '.')) != NULL) {
        object = json_object_getn(object, field, (size_t)(dot - field));
        field = dot + 1;
    }
    return json_object_get(object, field);
}

/* "2026-11-25T09:14:05Z" and its kin to local time; what is not one stays as it is. */
static void time_text(const char *given, char text[256]) {
    struct tm parts = {0}, local;
    const char *rest = strptime(given, "%Y-%m-%dT%H:%M:%S", &parts);
    time_t moment = timegm(&parts);
    bool universal = rest != NULL && (strchr(rest, 'Z') != NULL || strstr(rest, "+00") != NULL);
    if (!universal || localtime_r(&moment, &local) == NULL ||
        strftime(text, 256, "%Y-%m-%d %H:%M", &local) == 0)
        text_copy(text, 256, given);
}

static void number_text(const json_t *value, enum column_kind kind, char text[256]) {
    double number = json_number_value(value);
    ell_length length;
    char buffer[ELL_LENGTH_TEXT];
    if (kind == COLUMN_LENGTH && ell_length_from_mm(number, &length))
        snprintf(text, 256, "%s", ell_length_text(length, buffer));
    else if (kind == COLUMN_MONEY)
        snprintf(text, 256, "%.2f", number / 100);
    else if (json_is_integer(value))
        snprintf(text, 256, "%lld", (long long)json_integer_value(value));
    else
        snprintf(text, 256, "%.6g", number);
}

void field_text(const json_t *object, const struct column *column, char text[256]) {
    const json_t *value = find_field(object, column->field);
    text[0] = '\0';
    if (column->kind == COLUMN_COUNT && json_is_array(value))
        snprintf(text, 256, "%zu", json_array_size(value));
    else if (json_is_boolean(value))
        snprintf(text, 256, "%s", json_is_true(value) ? "yes" : column->kind == COLUMN_YES ? "" : "no");
    else if (json_is_string(value) && column->kind == COLUMN_TIME)
        time_text(json_string_value(value), text);
    else if (json_is_string(value))
        text_copy(text, 256, json_string_value(value));
    else if (json_is_number(value))
        number_text(value, column->kind, text);
    /* A line end would break the table. */
    for (char *end = text; (end = strchr(end, '\n')) != NULL;)
        *end = '?';
}

static bool to_the_right(enum column_kind kind) {
    return kind == COLUMN_NUMBER || kind == COLUMN_LENGTH || kind == COLUMN_MONEY || kind == COLUMN_COUNT;
}

/* Takes columns from the widest texts until the line fits or all are narrow. */
static void fit_widths(const struct screen *screen, const struct column columns[], size_t count,
                       int widths[]) {
    if (screen->width == 0)
        return;
    for (;;) {
        int total = 0;
        size_t widest = count;
        for (size_t i = 0; i < count; i++) {
            total += widths[i] + (i > 0 ? GAP : 0);
            if (columns[i].kind == COLUMN_TEXT && widths[i] > NARROWEST &&
                (widest == count || widths[i] > widths[widest]))
                widest = i;
        }
        if (total <= screen->width || widest == count)
            return;
        widths[widest]--;
    }
}

/* Cut to `width` columns, the last of which then says so. */
static void cut_text(const struct screen *screen, char text[256], int width) {
    if (screen_columns(text) <= width)
        return;
    size_t used = strlen(text);
    while (used > 0 && screen_columns(text) > width - 1) {
        do
            used--;
        while (used > 0 && ((unsigned char)text[used] & 0xC0) == 0x80);
        text[used] = '\0';
    }
    snprintf(text + used, 256 - used, "%s", screen->unicode ? "\u2026" : ">");
}

static void print_cell(const struct screen *screen, enum paint paint, const char *given, int width,
                       bool right, bool last) {
    char text[256];
    text_copy(text, sizeof text, given);
    cut_text(screen, text, width);
    int pad = width - screen_columns(text);
    if (right)
        fprintf(screen->file, "%*s", pad, "");
    screen_text(screen, paint, text);
    if (!right && !last)
        fprintf(screen->file, "%*s", pad, "");
    fprintf(screen->file, "%*s", last ? 0 : GAP, "");
}

static void measure(const struct column columns[], size_t count, const json_t *rows, int widths[]) {
    char text[256];
    size_t at;
    json_t *row;
    for (size_t i = 0; i < count; i++)
        widths[i] = screen_columns(columns[i].title);
    json_array_foreach((json_t *)rows, at, row) {
        for (size_t i = 0; i < count; i++) {
            field_text(row, &columns[i], text);
            int wanted = screen_columns(text);
            widths[i] = wanted > widths[i] ? wanted : widths[i];
        }
    }
}

void table_print(const struct screen *screen, const struct column columns[], size_t count, const json_t *rows,
                 const char *nothing) {
    int widths[COLUMNS_MOST];
    char text[256];
    size_t at;
    json_t *row;
    if (json_array_size(rows) == 0) {
        fprintf(screen->file, "%s\n", nothing);
        return;
    }
    count = count > COLUMNS_MOST ? COLUMNS_MOST : count;
    measure(columns, count, rows, widths);
    fit_widths(screen, columns, count, widths);
    for (size_t i = 0; i < count; i++)
        print_cell(screen, PAINT_BOLD, columns[i].title, widths[i], to_the_right(columns[i].kind),
                   i + 1 == count);
    putc('\n', screen->file);
    json_array_foreach((json_t *)rows, at, row) {
        for (size_t i = 0; i < count; i++) {
            field_text(row, &columns[i], text);
            print_cell(screen, PAINT_PLAIN, text, widths[i], to_the_right(columns[i].kind), i + 1 == count);
        }
        putc('\n', screen->file);
    }
}

void fields_print(const struct screen *screen, const struct column fields[], size_t count,
                  const json_t *object) {
    char text[256];
    int width = 0;
    for (size_t i = 0; i < count; i++) {
        int columns = screen_columns(fields[i].title);
        width = columns > width ? columns : width;
    }
    for (size_t i = 0; i < count; i++) {
        field_text(object, &fields[i], text);
        if (text[0] == '\0')
            continue;
        screen_text(screen, PAINT_BOLD, fields[i].title);
        fprintf(screen->file, "%*s", width - screen_columns(fields[i].title) + GAP, "");
        screen_text(screen, PAINT_PLAIN, text);
        putc('\n', screen->file);
    }
}
