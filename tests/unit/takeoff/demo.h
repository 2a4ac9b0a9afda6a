/* The invented workshop's catalogue. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_DEMO_H
#define ELLWAND_TESTS_DEMO_H

#include "common/document.h"
#include "takeoff/catalogue.h"

#include <stdio.h>
#include <stdlib.h>

/* The whole document; the caller owns it. Ends the program when it cannot be read. */
static inline json_t *demo_document(void) {
    struct fault fault = {.code = ""};
    json_t *json = document_read_file(ELLWAND_SOURCE_DIR "/sql/demo/catalogue.json", &document_large, &fault);
    if (json == NULL) {
        fprintf(stderr, "%s: %s\n", fault.where, fault.message);
        abort();
    }
    return json;
}

static inline struct catalogue *demo_catalogue(void) {
    struct fault fault = {.code = ""};
    json_t *json = demo_document();
    struct catalogue *catalogue = catalogue_read(json, &fault);
    if (catalogue == NULL) {
        fprintf(stderr, "%s at %s: %s\n", fault.code, fault.where, fault.message);
        abort();
    }
    json_decref(json);
    return catalogue;
}

#endif
