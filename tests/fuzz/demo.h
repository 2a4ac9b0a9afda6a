/* SPDX-License-Identifier: Apache-2.0 */
#ifndef FUZZ_DEMO_H
#define FUZZ_DEMO_H

#include "common/document.h"
#include "takeoff/catalogue.h"

#include <stdlib.h>

static inline void must(bool holds) {
    if (!holds)
        abort();
}

/* The demonstration's catalogue, read once. */
static inline const struct catalogue *demo_catalogue(void) {
    static const struct catalogue *catalogue;
    struct fault fault = {0};
    if (!catalogue) {
        json_t *json =
            document_read_file(ELLWAND_SOURCE_DIR "/sql/demo/catalogue.json", &document_large, &fault);
        must(json);
        catalogue = catalogue_read(json, &fault);
        must(catalogue);
        json_decref(json);
    }
    return catalogue;
}

#endif
