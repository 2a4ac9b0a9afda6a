/* Tables as CSV (RFC 4180, UTF-8, a header line): out for a spreadsheet, and in again with every mistake named by line and
 * column.
 *
 * What goes out cannot start a formula there: text that begins with = + - @, a tab or a line end gets an apostrophe in front,
 * as does text that begins with an apostrophe and one of these; what comes in loses it again. Numbers stay as they are.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_CSV_TABLE_H
#define ELLWAND_CLIENT_CSV_TABLE_H

#include "common/fault.h"

#include <jansson.h>
#include <stdio.h>

enum { CSV_ROWS = 200000, CSV_COLUMNS = 64, CSV_CELL = 4000, CSV_NAME = 60, CSV_BYTES = 64 << 20 };

/* Writes one row: text guarded as above, numbers and yes/no as JSON has them, lists and objects as JSON in a cell, null as
 * nothing. `cells` (a list, borrowed). */
void csv_row(FILE *file, const json_t *cells);

/* Reads a whole table: {"columns": [names], "rows": [{"line": where it begins, from 1, "cells": [text, or null when empty]}]}, a
 * new reference; empty lines are passed over. NULL and fault when it is no such table or passes the bounds above: "bad-csv",
 * "twice-named", "out-of-range", "bad-text", with "line 3, column price" in `where`. */
json_t *csv_table(const char *bytes, size_t count, struct fault *fault) MUST_CHECK;

/* The index of the column `name`, or -1. */
int csv_column(const json_t *table, const char *name);

/* The text of that cell of a row of `table`; NULL when it is empty, or the column is -1. */
const char *csv_cell(const json_t *row, int column);

/* Fills `fault` with the place of a cell and returns false; column -1 is the whole row. */
bool csv_wrong(const json_t *table, const json_t *row, int column, const char *code, const char *message,
               struct fault *fault);

#endif
