/* Tables and fields. SPDX-License-Identifier: Apache-2.0 */
#include "screen.h"
#include "table_fit.h"

#include "common/text.h"

#include <ellwand/length.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

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

/* Whether the lengths of a row count pieces instead. */
static bool is_counted(const json_t *row) {
    const char *unit = json_string_value(json_object_get(row, "unit"));
    return unit != NULL && strcmp(unit, "length") != 0;
}

static enum column_kind kind_of(const struct column *column) {
    return (enum column_kind)(column->kind & ~COLUMN_MINOR);
}

static void number_text(const json_t *value, enum column_kind kind, char text[256]) {
    double number = json_number_value(value);
    ell_length length;
    char buffer[ELL_LENGTH_TEXT];
    if (kind == COLUMN_LENGTH && ell_length_from_mm(number, &length))
        snprintf(text, 256, "%s", ell_length_text(length, buffer));
    else if (kind == COLUMN_MONEY)
        snprintf(text, 256, "%.2f", number / 100);
    else if (kind == COLUMN_SHARE)
        snprintf(text, 256, "%.1f %%", number * 100);
    else if (json_is_integer(value))
        snprintf(text, 256, "%lld", (long long)json_integer_value(value));
    else
        snprintf(text, 256, "%.6g", number);
}

void field_figure(const json_t *object, const struct column *column, char text[256]) {
    const json_t *value = find_field(object, column->field);
    enum column_kind kind = kind_of(column);
    text[0] = '\0';
    if (kind == COLUMN_COUNT && json_is_array(value))
        snprintf(text, 256, "%zu", json_array_size(value));
    else if (json_is_boolean(value))
        snprintf(text, 256, "%s", json_is_true(value) ? "yes" : kind == COLUMN_YES ? "" : "no");
    else if (json_is_string(value) && kind == COLUMN_TIME)
        time_text(json_string_value(value), text);
    else if (json_is_string(value))
        text_copy(text, 256, json_string_value(value));
    else if (json_is_number(value))
        number_text(value, kind, text);
    /* A line end would break the table. */
    for (char *end = text; (end = strchr(end, '\n')) != NULL;)
        *end = '?';
}

void field_text(const json_t *object, const struct column *column, char text[256]) {
    field_figure(object, column, text);
    size_t used = strlen(text);
    if (kind_of(column) == COLUMN_LENGTH && used > 0 && !is_counted(object))
        snprintf(text + used, 256 - used, " mm");
}

static bool to_the_right(enum column_kind kind) {
    return kind == COLUMN_NUMBER || kind == COLUMN_LENGTH || kind == COLUMN_MONEY || kind == COLUMN_SHARE ||
           kind == COLUMN_COUNT;
}

static void print_cell(const struct screen *screen, enum paint paint, const char *given, int width,
                       bool right, bool last) {
    char text[256];
    text_copy(text, sizeof text, given);
    screen_cut(screen, text, width);
    int pad = width - screen_columns(text);
    if (right)
        fprintf(screen->file, "%*s", pad, "");
    screen_text(screen, paint, text);
    if (!right && !last)
        fprintf(screen->file, "%*s", pad, "");
    fprintf(screen->file, "%*s", last ? 0 : TABLE_GAP, "");
}

void rows_share_unit(const json_t *object, const char *field) {
    json_t *unit = json_object_get(object, "unit"), *row;
    size_t at;
    json_array_foreach(json_object_get(object, field), at, row) {
        if (unit != NULL)
            json_object_set(row, "unit", unit);
    }
}

/* Where no row says in what it counts, all lengths of a table are millimetres and its headings say so. */
static bool counts_by_row(const json_t *rows) {
    size_t at;
    json_t *row;
    json_array_foreach((json_t *)rows, at, row) {
        if (json_object_get(row, "unit") != NULL)
            return true;
    }
    return false;
}

static void table_cell(const json_t *row, const struct column *column, bool by_row, char text[256]) {
    if (by_row)
        field_text(row, column, text);
    else
        field_figure(row, column, text);
}

static void measure(const struct column columns[], const json_t *rows, bool by_row, struct table_fit *table) {
    char text[256];
    size_t at;
    json_t *row;
    for (size_t i = 0; i < table->count; i++) {
        struct fitted *column = &table->columns[i];
        *column =
            (struct fitted){.kind = kind_of(&columns[i]), .minor = (columns[i].kind & COLUMN_MINOR) != 0};
        snprintf(column->title, sizeof column->title, "%.*s%s", TITLE_TEXT - 8, columns[i].title,
                 column->kind == COLUMN_LENGTH && !by_row ? " mm" : "");
        json_array_foreach((json_t *)rows, at, row) {
            table_cell(row, &columns[i], by_row, text);
            int wanted = screen_columns(text);
            column->filled = column->filled || wanted > 0;
            column->text = wanted > column->text ? wanted : column->text;
        }
    }
}

/* One line of the table: its headings' line `title_line`, or `row`. */
static void print_line(const struct screen *screen, const struct column columns[],
                       const struct table_fit *table, int title_line, const json_t *row, bool by_row) {
    char text[256];
    size_t last = 0;
    for (size_t i = 0; i < table->count; i++)
        last = table->columns[i].shown ? i : last;
    for (size_t i = 0; i < table->count; i++) {
        const struct fitted *column = &table->columns[i];
        if (!column->shown)
            continue;
        if (row == NULL)
            table_title_line(column->title, table->title_lines == 1 ? 255 : column->width, title_line, text);
        else
            table_cell(row, &columns[i], by_row, text);
        print_cell(screen, row == NULL ? PAINT_BOLD : PAINT_PLAIN, text, column->width,
                   to_the_right(column->kind), i == last);
    }
    putc('\n', screen->file);
}

/* What a narrow terminal lacks, in words. */
static void print_given_up(const struct screen *screen, const struct table_fit *table) {
    char text[512] = "";
    for (size_t i = 0; i < table->count; i++) {
        const struct fitted *column = &table->columns[i];
        size_t used = strlen(text);
        if (column->filled && !column->shown && column->title[0] != '\0')
            snprintf(text + used, sizeof text - used, "%s%s",
                     used > 0 ? ", " : "Not shown for want of room: ", column->title);
    }
    if (text[0] == '\0')
        return;
    size_t used = strlen(text);
    snprintf(text + used, sizeof text - used, ". A wider terminal or --json shows them.");
    screen_paragraph(screen, 0, text);
}

void table_print(const struct screen *screen, const struct column columns[], size_t count, const json_t *rows,
                 const char *nothing) {
    struct table_fit table = {.count = count > COLUMNS_MOST ? COLUMNS_MOST : count};
    size_t at;
    json_t *row;
    if (json_array_size(rows) == 0) {
        fprintf(screen->file, "%s\n", nothing);
        return;
    }
    bool by_row = counts_by_row(rows);
    measure(columns, rows, by_row, &table);
    table_fit(&table, screen->width);
    for (int line = 0; line < table.title_lines; line++)
        print_line(screen, columns, &table, line, NULL, by_row);
    json_array_foreach((json_t *)rows, at, row) {
        char sentence[256] = "";
        print_line(screen, columns, &table, 0, row, by_row);
        if (table.sentence_below)
            field_figure(row, &columns[table.count - 1], sentence);
        if (sentence[0] != '\0')
            screen_paragraph(screen, 4, sentence);
    }
    print_given_up(screen, &table);
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
        fprintf(screen->file, "%*s", width - screen_columns(fields[i].title) + TABLE_GAP, "");
        screen_text(screen, PAINT_PLAIN, text);
        putc('\n', screen->file);
    }
}
