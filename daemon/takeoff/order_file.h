/* Orders as they come in: one order in JSON, or many in CSV.
 *
 * JSON. "?": may be left out.
 *
 *   order, customer, notes?
 *   due?              "2026-12-04"
 *   priority?         0 (leave) to 9 (first); 5 when not given
 *   unit?             "mm" (when not given), "cm" or "in": what labels and fitting sheets show its lengths in
 *   windows           [1 to 200 windows as in survey.h]
 *
 * CSV (RFC 4180: commas, quotes doubled within quotes, CR LF or LF). The first row names the columns; each further row
 * is one window. Columns are the fields above and those of survey.h, with "curtain." or "bay." before the inner ones,
 * "window.notes" for a window's own notes, and
 *
 *   unit              "mm", "cm" or "in": what the bare numbers of that row's lengths are in (empty: mm); an
 *                     order's first row that names one says what the order is shown in
 *
 * Lists have blanks between their items ("900 2100 900"), true is yes, false is no, an empty cell is a field not given.
 * Rows of one order must agree in customer, due, priority and notes, or leave them empty after the first. "near" has no
 * column: use JSON.
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_ORDER_FILE_H
#define ELLWAND_TAKEOFF_ORDER_FILE_H

#include "takeoff/survey.h"

enum { ORDER_WINDOWS = 200, ORDER_COUNT = 500, ORDER_CSV_BYTES = 4 << 20 };

struct order_file {
    char order[CATALOGUE_CODE], customer[CATALOGUE_NAME], due[11],
        notes[SURVEY_NOTES]; /* due "" when not given */
    int64_t priority;
    const char *unit; /* "mm", "cm" or "in" */
    struct survey *windows;
    size_t window_count;
};

/* One order. The caller owns it (order_file_free). NULL and a fault naming the field
 * ("windows[2].curtain.drop"). */
struct order_file *order_file_read(const json_t *json, struct fault *fault) MUST_CHECK;
void order_file_free(struct order_file *order);

/* CSV text to a JSON array of orders, each a document as above and already checked, in the order of their
 * first rows. The caller owns the array. NULL and a fault whose `where` is "line 4, column drop" otherwise
 * ("bad-csv", "unknown-field", "too-large", or what reading the order says). */
json_t *order_csv_read(const char *bytes, size_t count, struct fault *fault) MUST_CHECK;

/* The name of each column that CSV may have, from 0; static. NULL after the last. */
const char *order_csv_column(size_t index);

#endif
