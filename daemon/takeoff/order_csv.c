/* Many orders as CSV, one row a window, through the JSON reader so that both ways in obey the same rules.
 * SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "common/text.h"
#include "takeoff/order_file.h"

#include <csv.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum cell_kind { CELL_TEXT, CELL_NUMBER, CELL_LENGTH, CELL_LENGTHS, CELL_NUMBERS, CELL_BOOLEAN, CELL_UNIT };
enum owner { OF_ORDER, OF_WINDOW, OF_CURTAIN, OF_BAY, OF_ROW };

struct column {
    const char *name;
    enum owner owner;
    enum cell_kind kind;
};

static const struct column columns[] = {
    {"order", OF_ORDER, CELL_TEXT},
    {"customer", OF_ORDER, CELL_TEXT},
    {"due", OF_ORDER, CELL_TEXT},
    {"priority", OF_ORDER, CELL_NUMBER},
    {"notes", OF_ORDER, CELL_TEXT},
    {"unit", OF_ROW, CELL_UNIT},
    {"window", OF_WINDOW, CELL_TEXT},
    {"room", OF_WINDOW, CELL_TEXT},
    {"window.notes", OF_WINDOW, CELL_TEXT},
    {"position", OF_WINDOW, CELL_TEXT},
    {"place", OF_WINDOW, CELL_TEXT},
    {"width", OF_WINDOW, CELL_LENGTH},
    {"widths", OF_WINDOW, CELL_LENGTHS},
    {"height", OF_WINDOW, CELL_LENGTH},
    {"ceiling", OF_WINDOW, CELL_LENGTH},
    {"floor", OF_WINDOW, CELL_LENGTH},
    {"wall_left", OF_WINDOW, CELL_LENGTH},
    {"wall_right", OF_WINDOW, CELL_LENGTH},
    {"substrate", OF_WINDOW, CELL_TEXT},
    {"batten", OF_WINDOW, CELL_BOOLEAN},
    {"control", OF_WINDOW, CELL_TEXT},
    {"draw", OF_WINDOW, CELL_TEXT},
    {"system", OF_WINDOW, CELL_TEXT},
    {"finish", OF_WINDOW, CELL_TEXT},
    {"carrier_longest", OF_WINDOW, CELL_LENGTH},
    {"children", OF_WINDOW, CELL_BOOLEAN},
    {"cord_drop", OF_WINDOW, CELL_LENGTH},
    {"measure_confirmed", OF_WINDOW, CELL_BOOLEAN},
    {"curtain.drop", OF_CURTAIN, CELL_LENGTH},
    {"curtain.reach", OF_CURTAIN, CELL_TEXT},
    {"curtain.clearance", OF_CURTAIN, CELL_LENGTH},
    {"curtain.heading", OF_CURTAIN, CELL_TEXT},
    {"curtain.fullness", OF_CURTAIN, CELL_NUMBER},
    {"curtain.face", OF_CURTAIN, CELL_NUMBER},
    {"curtain.lining", OF_CURTAIN, CELL_NUMBER},
    {"curtain.interlining", OF_CURTAIN, CELL_NUMBER},
    {"curtain.thickness", OF_CURTAIN, CELL_LENGTH},
    {"curtain.hem", OF_CURTAIN, CELL_LENGTH},
    {"curtain.heading_allowance", OF_CURTAIN, CELL_LENGTH},
    {"curtain.overlap", OF_CURTAIN, CELL_LENGTH},
    {"curtain.return", OF_CURTAIN, CELL_LENGTH},
    {"curtain.cloth_width", OF_CURTAIN, CELL_LENGTH},
    {"curtain.pattern_repeat", OF_CURTAIN, CELL_LENGTH},
    {"bay.straights", OF_BAY, CELL_LENGTHS},
    {"bay.angles", OF_BAY, CELL_NUMBERS},
};
enum { COLUMN_KNOWN = sizeof columns / sizeof columns[0], CELL_LONGEST = 1000 };

const char *order_csv_column(size_t index) {
    return index < COLUMN_KNOWN ? columns[index].name : NULL;
}

/* What libcsv calls back into. The first thing that is wrong stops everything after it. */
struct sheet {
    json_t *orders;
    struct fault *fault;
    bool failed, header_read;
    size_t line, more_lines; /* where the row begins, from 1, and the line ends inside its quotes */
    int last_end;            /* what ended the row before, so that CR LF is one line end */
    size_t at, header_count; /* column being read; columns of the header */
    const struct column *header[COLUMN_KNOWN];
    char *cells[COLUMN_KNOWN]; /* of this row, NULL when empty */
};

static void wrong(struct sheet *sheet, const char *column, const char *code, const char *format, ...)
    PRINTF_LIKE(4, 5);

static void wrong(struct sheet *sheet, const char *column, const char *code, const char *format, ...) {
    char where[96], message[512];
    va_list arguments;
    if (sheet->failed)
        return;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    snprintf(where, sizeof where, "line %zu%s%s", sheet->line, column[0] ? ", column " : "", column);
    sheet->failed = true;
    fault_set(sheet->fault, code, where, "%s", message);
}

static void header_cell(struct sheet *sheet, const char *text) {
    for (size_t i = 0; i < COLUMN_KNOWN; i++) {
        if (strcmp(columns[i].name, text) != 0)
            continue;
        for (size_t j = 0; j < sheet->header_count; j++)
            if (sheet->header[j] == &columns[i])
                wrong(sheet, text, "twice-named", "The header names this column twice; take one out.");
        if (!sheet->failed)
            sheet->header[sheet->header_count++] = &columns[i];
        return;
    }
    wrong(sheet, text, "unknown-field",
          "No column has this name. Known are the fields of an order file, such as order, "
          "customer, window, width, system, curtain.drop.");
}

static void on_cell(void *bytes, size_t count, void *data) {
    struct sheet *sheet = data;
    char text[CELL_LONGEST + 1];
    if (sheet->failed)
        return;
    const char *column =
        sheet->header_read && sheet->at < sheet->header_count ? sheet->header[sheet->at]->name : "";
    if (count > CELL_LONGEST) {
        wrong(sheet, column, "too-large", "A cell has %zu bytes; the most is %d.", count, CELL_LONGEST);
        return;
    }
    memcpy(text, bytes, count);
    text[count] = '\0';
    for (size_t i = 0; i < count; i++)
        sheet->more_lines += text[i] == '\n';
    sheet->last_end = 0;
    if (strlen(text) != count || text_check(text, CELL_LONGEST) < 0) {
        wrong(sheet, column, "bad-text", "The cell is not plain UTF-8 text.");
    } else if (!sheet->header_read) {
        /* A byte order mark before the first column is what spreadsheets write. */
        bool marked = sheet->header_count == 0 && strncmp(text, "\xEF\xBB\xBF", 3) == 0;
        header_cell(sheet, marked ? text + 3 : text);
    } else if (sheet->at >= sheet->header_count) {
        if (count > 0)
            wrong(sheet, "", "bad-csv", "The row has more cells than the header has columns.");
    } else if (count > 0 && (sheet->cells[sheet->at] = strdup(text)) == NULL) {
        wrong(sheet, column, "out-of-memory", "There is not enough memory for this row.");
    }
    sheet->at++;
}

static bool is_bare_number(const char *text) {
    char *end;
    strtod(text, &end);
    return end != text && *end == '\0' && strspn(text, "0123456789.-") == strlen(text);
}

/* A length cell: bare numbers in the row's unit, everything else is text with its own. */
static json_t *length_value(const char *text, const char *unit) {
    if (!is_bare_number(text))
        return json_string(text);
    if (unit[0] == '\0' || strcmp(unit, "mm") == 0)
        return json_real(strtod(text, NULL));
    /* Negative lengths have no text form; their unit is worked in here. */
    if (text[0] == '-')
        return json_real(strtod(text, NULL) * (strcmp(unit, "cm") == 0 ? 10 : 25.4));
    char with_unit[CELL_LONGEST + 8];
    snprintf(with_unit, sizeof with_unit, "%s %s", text, unit);
    return json_string(with_unit);
}

static json_t *number_value(const char *text) {
    return is_bare_number(text) ? json_real(strtod(text, NULL)) : json_string(text);
}

static json_t *list_value(const char *text, const char *unit, bool lengths) {
    json_t *array = json_array();
    char copy[CELL_LONGEST + 1], *rest = NULL;
    text_copy(copy, sizeof copy, text);
    for (char *item = strtok_r(copy, " ", &rest); item != NULL; item = strtok_r(NULL, " ", &rest))
        json_array_append_new(array, lengths ? length_value(item, unit) : number_value(item));
    return array;
}

static json_t *cell_value(const struct column *column, const char *text, const char *unit) {
    switch (column->kind) {
    case CELL_NUMBER:
        return number_value(text);
    case CELL_LENGTH:
        return length_value(text, unit);
    case CELL_LENGTHS:
    case CELL_NUMBERS:
        return list_value(text, unit, column->kind == CELL_LENGTHS);
    case CELL_BOOLEAN:
        if (strcmp(text, "yes") == 0 || strcmp(text, "true") == 0)
            return json_true();
        return strcmp(text, "no") == 0 || strcmp(text, "false") == 0 ? json_false() : json_string(text);
    case CELL_TEXT:
    case CELL_UNIT:
        break;
    }
    return json_string(text);
}

static json_t *find_order(struct sheet *sheet, const char *name) {
    size_t index;
    json_t *order;
    json_array_foreach(sheet->orders, index, order) {
        if (strcmp(json_string_value(json_object_get(order, "order")), name) == 0)
            return order;
    }
    if (json_array_size(sheet->orders) == ORDER_COUNT) {
        wrong(sheet, "order", "too-large", "One file takes %d orders; split it.", ORDER_COUNT);
        return NULL;
    }
    order = json_pack("{ss,s[]}", "order", name, "windows");
    json_array_append_new(sheet->orders, order);
    return order;
}

static void order_cell(struct sheet *sheet, json_t *order, const struct column *column, json_t *value) {
    const json_t *before = json_object_get(order, column->name);
    if (before != NULL && !json_equal(before, value))
        wrong(sheet, column->name, "contradiction", "An earlier row of this order says something else here.");
    json_object_set_new(order, column->name, value);
}

static json_t *inner(json_t *window, const char *name) {
    json_t *object = json_object_get(window, name);
    if (object == NULL) {
        object = json_object();
        json_object_set_new(window, name, object);
    }
    return object;
}

static const char *cell_named(const struct sheet *sheet, const char *name) {
    for (size_t i = 0; i < sheet->header_count; i++)
        if (strcmp(sheet->header[i]->name, name) == 0 && sheet->cells[i] != NULL)
            return sheet->cells[i];
    return "";
}

/* Checks the window at once, so that the fault can name line and column. */
static void check_window(struct sheet *sheet, const json_t *window) {
    struct survey survey;
    struct fault inner_fault;
    if (sheet->failed || survey_read(window, "", &survey, &inner_fault))
        return;
    char column[sizeof inner_fault.where];
    text_copy(column, sizeof column,
              strcmp(inner_fault.where, "notes") == 0 ? "window.notes" : inner_fault.where);
    column[strcspn(column, "[")] = '\0';
    wrong(sheet, column, inner_fault.code, "%s", inner_fault.message);
}

static void build_window(struct sheet *sheet, json_t *order, const char *unit) {
    json_t *window = json_object();
    json_array_append_new(json_object_get(order, "windows"), window);
    for (size_t i = 0; i < sheet->header_count && !sheet->failed; i++) {
        const struct column *column = sheet->header[i];
        const char *dot = strrchr(column->name, '.');
        if (sheet->cells[i] == NULL || column->kind == CELL_UNIT)
            continue;
        json_t *value = cell_value(column, sheet->cells[i], unit);
        if (column->owner == OF_ORDER)
            order_cell(sheet, order, column, value);
        else if (column->owner == OF_WINDOW)
            json_object_set_new(window, dot ? dot + 1 : column->name, value);
        else
            json_object_set_new(inner(window, column->owner == OF_CURTAIN ? "curtain" : "bay"), dot + 1,
                                value);
    }
    check_window(sheet, window);
}

static void build_row(struct sheet *sheet) {
    const char *unit = cell_named(sheet, "unit"), *name = cell_named(sheet, "order");
    if (strcmp(unit, "") != 0 && strcmp(unit, "mm") != 0 && strcmp(unit, "cm") != 0 &&
        strcmp(unit, "in") != 0)
        wrong(sheet, "unit", "unknown-choice", "One of these is wanted here: mm, cm, in.");
    else if (name[0] == '\0')
        wrong(sheet, "order", "missing-field", "Each row must say which order it belongs to.");
    json_t *order = sheet->failed ? NULL : find_order(sheet, name);
    if (order != NULL && json_array_size(json_object_get(order, "windows")) == ORDER_WINDOWS)
        wrong(sheet, "order", "too-large", "One order takes %d windows; split it.", ORDER_WINDOWS);
    if (order == NULL || sheet->failed)
        return;
    if (unit[0] != '\0' && json_object_get(order, "unit") == NULL)
        json_object_set_new(order, "unit", json_string(unit));
    build_window(sheet, order, unit);
}

static void clear_row(struct sheet *sheet) {
    for (size_t i = 0; i < COLUMN_KNOWN; i++) {
        free(sheet->cells[i]);
        sheet->cells[i] = NULL;
    }
    sheet->at = 0;
}

static void on_row(int end, void *data) {
    struct sheet *sheet = data;
    bool filled = false;
    for (size_t i = 0; i < sheet->header_count; i++)
        filled = filled || sheet->cells[i] != NULL;
    if (!sheet->failed && sheet->header_read && filled)
        build_row(sheet);
    sheet->header_read = sheet->header_read || sheet->header_count > 0;
    sheet->line += sheet->more_lines + !(end == '\n' && sheet->last_end == '\r');
    sheet->more_lines = 0;
    sheet->last_end = end;
    clear_row(sheet);
}

static void parse(struct sheet *sheet, const char *bytes, size_t count) {
    struct csv_parser parser;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_REPALL_NL) != 0) {
        wrong(sheet, "", "out-of-memory", "There is not enough memory to read the file.");
        return;
    }
    /* CSV_REPALL_NL reports blank lines too; without it the line numbers of faults would be wrong. */
    if (csv_parse(&parser, bytes, count, on_cell, on_row, sheet) != count ||
        csv_fini(&parser, on_cell, on_row, sheet) != 0)
        wrong(sheet, "", csv_error(&parser) == CSV_ENOMEM ? "out-of-memory" : "bad-csv",
              "This row is not CSV: %s. A quote inside quotes is written twice.",
              csv_strerror(csv_error(&parser)));
    csv_free(&parser);
}

/* What only a whole order can tell: due dates, priorities, windows named twice. */
static void check_orders(struct sheet *sheet) {
    size_t index;
    json_t *order;
    json_array_foreach(sheet->orders, index, order) {
        struct fault inner_fault;
        struct order_file *read = sheet->failed ? NULL : order_file_read(order, &inner_fault);
        if (read == NULL && !sheet->failed) {
            sheet->failed = true;
            char where[96];
            snprintf(where, sizeof where, "order %.24s, column %.40s",
                     json_string_value(json_object_get(order, "order")), inner_fault.where);
            fault_set(sheet->fault, inner_fault.code, where, "%s", inner_fault.message);
        }
        order_file_free(read);
    }
}

json_t *order_csv_read(const char *bytes, size_t count, struct fault *fault) {
    struct sheet sheet = {.fault = fault, .line = 1, .orders = json_array()};
    if (count > ORDER_CSV_BYTES)
        wrong(&sheet, "", "too-large", "The file has %zu bytes; the most is %d. Split it.", count,
              ORDER_CSV_BYTES);
    else
        parse(&sheet, bytes, count);
    clear_row(&sheet);
    if (!sheet.failed && json_array_size(sheet.orders) == 0)
        wrong(&sheet, "", "bad-csv",
              "The file holds no orders: a header row and at least one row are wanted.");
    check_orders(&sheet);
    if (!sheet.failed)
        return sheet.orders;
    json_decref(sheet.orders);
    return NULL;
}
