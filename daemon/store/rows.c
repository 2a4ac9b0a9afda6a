/* Reading rows. SPDX-License-Identifier: Apache-2.0 */
#include "store/store.h"

#include <libpq-fe.h>
#include <stdlib.h>

int rows_count(const struct store_rows *rows) {
    return rows->result == NULL ? 0 : PQntuples(rows->result);
}

int64_t rows_changed(const struct store_rows *rows) {
    return rows->result == NULL ? 0 : strtoll(PQcmdTuples(rows->result), NULL, 10);
}

bool rows_is_null(const struct store_rows *rows, int row, int column) {
    return row < 0 || column < 0 || row >= rows_count(rows) || column >= PQnfields(rows->result) ||
           PQgetisnull(rows->result, row, column);
}

const char *rows_text(const struct store_rows *rows, int row, int column) {
    return rows_is_null(rows, row, column) ? "" : PQgetvalue(rows->result, row, column);
}

int64_t rows_integer(const struct store_rows *rows, int row, int column) {
    return strtoll(rows_text(rows, row, column), NULL, 10);
}

bool rows_boolean(const struct store_rows *rows, int row, int column) {
    return *rows_text(rows, row, column) == 't';
}

json_t *rows_json(const struct store_rows *rows, int row, int column) {
    return rows_is_null(rows, row, column) ? NULL
                                           : json_loads(rows_text(rows, row, column), JSON_DECODE_ANY, NULL);
}

void rows_free(struct store_rows *rows) {
    PQclear(rows->result);
    rows->result = NULL;
}
