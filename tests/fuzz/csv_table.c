/* SPDX-License-Identifier: Apache-2.0 */
/* A table in CSV: whatever is read is written again so that no cell starts a formula, and is then read as the same. */
#include "csv_table.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

static void must(bool holds) {
    if (!holds)
        abort();
}

static json_t *cells_of(const json_t *table) {
    json_t *all = json_pack("[O]", json_object_get(table, "columns")), *row;
    size_t index;
    json_array_foreach(json_object_get(table, "rows"), index, row)
        json_array_append(all, json_object_get(row, "cells"));
    return all;
}

static json_t *again(const json_t *cells) {
    char *text = NULL;
    size_t size = 0, index;
    json_t *row;
    struct fault fault = {0};
    FILE *file = open_memstream(&text, &size);
    json_array_foreach((json_t *)cells, index, row) csv_row(file, row);
    fclose(file);
    must(size == 0 || strchr("=+-@\t", text[0]) == NULL);
    json_t *table = csv_table(text, size, &fault);
    must(table != NULL);
    json_t *read = cells_of(table);
    json_decref(table);
    free(text);
    return read;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    json_t *table = csv_table((const char *)data, size, &fault);
    must(table || (fault.code[0] && fault.where[0] && fault.message[0]));
    if (table == NULL)
        return 0;
    json_t *cells = cells_of(table), *same = again(cells);
    must(json_equal(cells, same));
    json_decref(same);
    json_decref(cells);
    json_decref(table);
    return 0;
}
