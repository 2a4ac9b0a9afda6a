/* Tables as CSV. The examples of rows and quotes are those of RFC 4180, section 2. SPDX-License-Identifier: Apache-2.0 */
#include "csv_table.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static json_t *read_text(const char *text) {
    struct fault fault = {.code = ""};
    json_t *table = csv_table(text, strlen(text), &fault);
    cr_assert_not_null(table, "%s at %s: %s", fault.code, fault.where, fault.message);
    return table;
}

static void has(const json_t *table, size_t row, int line, const char *cells) {
    const json_t *found = json_array_get(json_object_get(table, "rows"), row);
    char *text = json_dumps(json_object_get(found, "cells"), JSON_COMPACT);
    cr_assert_str_eq(text, cells);
    cr_assert_eq(json_integer_value(json_object_get(found, "line")), line, "row %zu", row);
    free(text);
}

Test(csv_table, rows_and_quotes_of_rfc_4180) {
    /* 2.1 to 2.3: lines end in CR LF, the last one may lack it, the first names the columns; 2.6, 2.7: quotes around line
     * ends, commas and quotes, which are written twice. */
    json_t *table = read_text("field_name,other,third\r\naaa,bbb,ccc\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\n"
                              "zzz,\"b\"\"bb\",\"y,y\"");
    has(table, 0, 2, "[\"aaa\",\"bbb\",\"ccc\"]");
    has(table, 1, 3, "[\"aaa\",\"b\\r\\nbb\",\"ccc\"]");
    has(table, 2, 5, "[\"zzz\",\"b\\\"bb\",\"y,y\"]");
    cr_assert_eq(csv_column(table, "third"), 2);
    cr_assert_eq(csv_column(table, "fourth"), -1);
    cr_assert_str_eq(csv_cell(json_array_get(json_object_get(table, "rows"), 0), 1), "bbb");
    json_decref(table);
}

Test(csv_table, line_ends_of_other_systems_and_a_byte_order_mark) {
    json_t *table = read_text("\xEF\xBB\xBF"
                              "a,b\n1,2\n\n3,\n");
    cr_assert_eq(csv_column(table, "a"), 0);
    has(table, 0, 2, "[\"1\",\"2\"]");
    has(table, 1, 4, "[\"3\",null]");
    json_decref(table);
    table = read_text("a,b\r1,2\r3,4");
    has(table, 1, 3, "[\"3\",\"4\"]");
    json_decref(table);
}

static char *written(const json_t *cells) {
    char *text = NULL;
    size_t size = 0;
    FILE *file = open_memstream(&text, &size);
    csv_row(file, cells);
    fclose(file);
    return text;
}

/* Nothing that comes out starts a formula, and all of it comes in as it was. */
Test(csv_table, text_that_a_spreadsheet_would_run_is_guarded) {
    static const char *const texts[] = {"=1+1", "+1",     "-1",    "@SUM(A1)", "\t=1",  "'=1", "''",
                                        "'x",   "'",      "plain", " =1",      "a\"b",  "a,b", "two\r\nlines",
                                        "\r=1", "=\"a\"", "-",     "=",        "'''-1", "'@",  "ü=1"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        char *row, text[256];
        json_t *cells = json_pack("[s, s]", texts[i], "end");
        row = written(cells);
        const char *first = row[0] == '"' ? row + 1 : row;
        cr_assert(first[0] != '\0' && strchr("=+-@\t\r", first[0]) == NULL, "%s", row);
        snprintf(text, sizeof text, "a,b\r\n%s", row);
        json_t *table = read_text(text);
        cr_assert_str_eq(csv_cell(json_array_get(json_object_get(table, "rows"), 0), 0), texts[i]);
        json_decref(table);
        json_decref(cells);
        free(row);
    }
}

Test(csv_table, numbers_stay_numbers_and_lists_are_json) {
    json_t *cells = json_pack("[i, f, b, n, [{s:s}]]", -5, 0.1, 1, "part", "A,B");
    char *row = written(cells);
    cr_assert_str_eq(row, "-5,0.1,true,,\"[{\"\"part\"\":\"\"A,B\"\"}]\"\r\n");
    free(row);
    json_decref(cells);
}

struct wrong {
    const char *text, *code, *where;
};

Test(csv_table, what_is_wrong_is_named_by_line_and_column) {
    static const struct wrong wrongs[] = {
        {"", "bad-csv", "line 1, column 1"},
        {"\r\n\r\n", "bad-csv", "line 3, column 1"},
        {"a,a\r\n", "twice-named", "line 1, column 2"},
        {"a,\r\n1,2\r\n", "out-of-range", "line 1, column 2"},
        {"a,b\r\n1\r\n", "bad-csv", "line 2, column b"},
        {"a,b\r\n1,2\r\n1,2,3\r\n", "bad-csv", "line 3, column 3"},
        {"a,b\r\n1,x\"y\r\n", "bad-csv", "line 2, column b"},
        {"a,b\r\n\"1\r\n2\",3\r\n4,\"5\r\n", "bad-csv", "line 4, column b"},
        {"a,b\r\n1,\xff\r\n", "bad-text", "line 2, column b"},
    };
    for (size_t i = 0; i < sizeof wrongs / sizeof wrongs[0]; i++) {
        struct fault fault = {.code = ""};
        cr_assert_null(csv_table(wrongs[i].text, strlen(wrongs[i].text), &fault), "%s was taken",
                       wrongs[i].text);
        cr_assert_str_eq(fault.code, wrongs[i].code, "%s: %s", wrongs[i].text, fault.message);
        cr_assert_str_eq(fault.where, wrongs[i].where, "%s: %s", wrongs[i].text, fault.message);
    }
    struct fault fault;
    cr_assert_null(csv_table("a\r\nx\0y\r\n", 8, &fault), "a NUL was taken");
    cr_assert_str_eq(fault.code, "bad-text");
}

static void refused_as(char *text, const char *code) {
    struct fault fault = {.code = ""};
    cr_assert_null(csv_table(text, strlen(text), &fault));
    cr_assert_str_eq(fault.code, code, "%s: %s", fault.where, fault.message);
    free(text);
}

Test(csv_table, bounds) {
    char *wide = malloc(400), *at = wide;
    for (int i = 0; i < 65; i++)
        at += sprintf(at, "%sc%d", i == 0 ? "" : ",", i);
    refused_as(wide, "out-of-range");
    char *deep = malloc(CSV_CELL + 16);
    memset(deep, 'x', CSV_CELL + 16);
    memcpy(deep, "a\r\n", 3);
    deep[CSV_CELL + 5] = '\0';
    refused_as(deep, "out-of-range");
    char *tall = malloc(2 * (CSV_ROWS + 2) + 1);
    for (int i = 0; i < CSV_ROWS + 2; i++)
        memcpy(tall + 2 * i, "a\n", 2);
    tall[2 * (CSV_ROWS + 1)] = '\0';
    json_t *table = read_text(tall);
    cr_assert_eq(json_array_size(json_object_get(table, "rows")), CSV_ROWS);
    json_decref(table);
    tall[2 * (CSV_ROWS + 1)] = 'a';
    tall[2 * (CSV_ROWS + 2)] = '\0';
    refused_as(tall, "out-of-range");
}
