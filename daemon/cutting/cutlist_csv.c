/* Pieces from CSV. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "common/text.h"
#include "cutting/cutlist.h"

#include <csv.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { NAME, LENGTH, QUANTITY, COLUMNS };

struct table {
    json_t *pieces;
    struct fault *fault;
    char cell[COLUMNS][CUTTING_NAME * 2];
    int place[COLUMNS]; /* which column holds what */
    int column;
    long line;
    bool failed;
};

static bool fail(struct table *table, const char *format, const char *what) {
    char where[64], message[300];
    snprintf(where, sizeof where, "line %ld", table->line);
    snprintf(message, sizeof message, "%.100s%.100s", format, what);
    table->failed = true;
    return fault_set(table->fault, "bad-csv", where, "%s", message);
}

static void on_cell(void *text, size_t count, void *data) {
    struct table *table = data;
    int column = table->column++;
    if (table->failed || column >= COLUMNS)
        return;
    if (count >= sizeof table->cell[0]) {
        fail(table, "A cell is longer than any name may be.", "");
        return;
    }
    memcpy(table->cell[column], text ? text : "", count);
    table->cell[column][count] = '\0';
}

/* True when the first line names the columns, and then remembers them. */
static bool headings(struct table *table) {
    static const char *const names[COLUMNS] = {"name", "length", "quantity"};
    int found[COLUMNS] = {-1, -1, -1};
    for (int i = 0; i < table->column && i < COLUMNS; i++)
        for (int n = 0; n < COLUMNS; n++)
            if (strcasecmp(table->cell[i], names[n]) == 0)
                found[n] = i;
    if (found[NAME] < 0 || found[LENGTH] < 0)
        return false;
    memcpy(table->place, found, sizeof found);
    return true;
}

static const char *cell(const struct table *table, int what) {
    int place = table->place[what];
    return place >= 0 && place < table->column && place < COLUMNS ? table->cell[place] : "";
}

/* Up to nine digits, no sign. Returns what stands behind them, NULL when there are none. */
static const char *read_count(const char *text, long *count) {
    size_t digits = strspn(text, "0123456789");
    char *end;
    if (digits == 0 || digits > 9)
        return NULL;
    *count = strtol(text, &end, 10);
    return end;
}

static void add_piece(struct table *table) {
    ell_length length;
    const char *name = cell(table, NAME), *number = cell(table, QUANTITY);
    long quantity = 1;
    const char *end;
    if (name[0] == '\0' || text_check(name, CUTTING_NAME - 1) < 0)
        fail(table, "The name is missing, too long, or no valid text: ", name);
    else if (!ell_length_parse(cell(table, LENGTH), &length) || length < 1)
        fail(table, "This is no length (millimetres, or a number with a unit; decimals after a point): ",
             cell(table, LENGTH));
    else if (number[0] != '\0' &&
             ((end = read_count(number, &quantity)) == NULL || *end != '\0' || quantity < 1))
        fail(table, "This is no quantity: ", number);
    else if (json_array_size(table->pieces) >= CUTTING_PIECES_MOST)
        fail(table, "The list is too long.", "");
    else if (json_array_append_new(table->pieces,
                                   json_pack("{s:s, s:o, s:I}", "name", name, "length",
                                             document_length(length), "quantity", (json_int_t)quantity)) != 0)
        fail(table, "There is not enough memory for the list.", "");
}

static void on_line(int end, void *data) {
    (void)end;
    struct table *table = data;
    table->line++;
    bool blank = table->column == 0 || (table->column == 1 && table->cell[0][0] == '\0');
    if (!table->failed && table->column > COLUMNS)
        fail(table, "A line has name, length and quantity, no more.", "");
    else if (!table->failed && !blank && !(table->line == 1 && headings(table)))
        add_piece(table);
    table->column = 0;
}

/* A semicolon in the first line means that semicolons separate. */
static unsigned char separator(const char *bytes, size_t count) {
    const char *end = memchr(bytes, '\n', count);
    size_t first = end ? (size_t)(end - bytes) : count;
    return memchr(bytes, ';', first) ? ';' : ',';
}

json_t *cutlist_pieces(const char *bytes, size_t count, struct fault *fault) {
    struct csv_parser parser;
    struct table table = {.pieces = json_array(), .fault = fault, .place = {0, 1, 2}};
    if (count > document_large.bytes) {
        json_decref(table.pieces);
        fault_set(fault, "too-large", "", "The text has %zu bytes; the most is %zu.", count,
                  document_large.bytes);
        return NULL;
    }
    if (table.pieces == NULL || csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        json_decref(table.pieces);
        fault_memory(fault);
        return NULL;
    }
    csv_set_delim(&parser, separator(bytes, count));
    if (csv_parse(&parser, bytes, count, on_cell, on_line, &table) != count && !table.failed) {
        table.line++;
        fail(&table, "This is not CSV: ", csv_strerror(csv_error(&parser)));
    }
    if (csv_fini(&parser, on_cell, on_line, &table) != 0 && !table.failed)
        fail(&table, "A quotation mark is not closed.", "");
    csv_free(&parser);
    if (!table.failed && json_array_size(table.pieces) == 0)
        fail(&table, "There are no pieces in it.", "");
    if (table.failed) {
        json_decref(table.pieces);
        return NULL;
    }
    return table.pieces;
}

json_t *cutlist_bar(const char *text, struct fault *fault) {
    char name[CUTTING_NAME], length_text[32];
    ell_length length;
    long quantity = -1;
    const char *equals = strchr(text, '=');
    bool squared = text[0] != '\0' && text[strlen(text) - 1] == 's';
    bool fine = equals != NULL && equals > text && (size_t)(equals - text) < sizeof name;
    if (fine) {
        memcpy(name, text, (size_t)(equals - text));
        name[equals - text] = '\0';
        const char *at = equals + 1;
        size_t span = strcspn(at, "xs");
        fine = span < sizeof length_text && text_check(name, CUTTING_NAME - 1) > 0;
        if (fine) {
            memcpy(length_text, at, span);
            length_text[span] = '\0';
            fine = ell_length_parse(length_text, &length) && length > 0;
        }
        at += span;
        if (fine && *at == 'x') {
            const char *end = read_count(at + 1, &quantity);
            fine = end != NULL;
            at = fine ? end : at;
        }
        fine = fine && strcmp(at, squared ? "s" : "") == 0;
    }
    if (!fine) {
        fault_set(fault, "bad-bar", text,
                  "A bar is NAME=LENGTH, with xCOUNT if limited and s if its end is squared: "
                  "six=6000, or F17=1874.5x1s.");
        return NULL;
    }
    json_t *count = quantity < 0 ? json_null() : json_integer(quantity);
    return json_pack("{s:s, s:o, s:o, s:b}", "name", name, "length", document_length(length), "quantity",
                     count, "squared", squared);
}
