/* SPDX-License-Identifier: Apache-2.0 */
/* Pieces to be cut from CSV, and a bar as one types it on the command line. */
#include "cutting/cutlist.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    json_t *pieces = cutlist_pieces((const char *)data, size, &fault);
    if (pieces ? !json_is_array(pieces) : !fault.code[0] || !fault.message[0])
        abort();
    json_decref(pieces);
    char *text = strndup((const char *)data, size);
    if (!text)
        abort();
    json_t *bar = cutlist_bar(text, &fault);
    if (bar ? !json_is_object(bar) : !fault.code[0] || !fault.message[0])
        abort();
    json_decref(bar);
    free(text);
    return 0;
}
