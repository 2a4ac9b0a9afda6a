/* The sample labels and stocks of tests/reference/label/data. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_LABEL_SAMPLES_H
#define ELLWAND_TESTS_LABEL_SAMPLES_H

#include "label/label.h"

#include <criterion/criterion.h>
#include <stdio.h>

static const char *const sample_kinds[] = {"piece", "kit", "offcut", "bar", "bin", "parcel"};
enum { SAMPLE_KINDS = sizeof sample_kinds / sizeof sample_kinds[0] };

/* The array in data/NAME.json; json_decref it. */
static inline json_t *sample_read(const char *name) {
    char path[512];
    struct fault fault;
    snprintf(path, sizeof path, "%s/tests/reference/label/data/%s.json", ELLWAND_SOURCE_DIR, name);
    json_t *json = document_read_file(path, &document_small, &fault);
    cr_assert_not_null(json, "%s: %s", path, fault.message);
    return json;
}

static inline struct label_stock sample_stock(const json_t *json) {
    struct label_stock stock;
    struct fault fault;
    cr_assert(label_stock_read(json, "stock", &stock, &fault), "%s: %s", fault.where, fault.message);
    return stock;
}

#endif
