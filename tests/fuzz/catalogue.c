/* SPDX-License-Identifier: Apache-2.0 */
/* A catalogue as somebody edited it: it is taken whole or refused with the place that is wrong. */
#include "takeoff/catalogue.h"

#include "common/document.h"
#include "fuzz.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    json_t *json = document_read((const char *)data, size, &document_small, &fault);
    if (!json)
        return 0;
    struct catalogue *catalogue = catalogue_read(json, &fault);
    if (!catalogue && !(fault.code[0] && fault.message[0]))
        abort();
    catalogue_free(catalogue);
    json_decref(json);
    return 0;
}
