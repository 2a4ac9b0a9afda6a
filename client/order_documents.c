/* SPDX-License-Identifier: Apache-2.0 */
#include "order_documents.h"

#include "file_text.h"
#include "takeoff/order_file.h"

#include <stdlib.h>

static json_t *read_csv(const struct program *program, const char *path) {
    struct fault fault;
    size_t count;
    char *bytes = file_text(program, path, ORDER_CSV_BYTES, &count);
    json_t *orders = bytes != NULL ? order_csv_read(bytes, count, &fault) : NULL;
    if (bytes != NULL && orders == NULL)
        program_wrong(program, EXIT_USAGE, path, "%s: %s", fault.where, fault.message);
    free(bytes);
    return orders;
}

json_t *order_documents(const struct program *program, const char *path) {
    return file_is_csv(path) ? read_csv(program, path) : program_read(program, path);
}
