/* Text to tree, within bounds. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const struct document_limits document_small = {1u << 20, 16, 50000};
const struct document_limits document_large = {64u << 20, 16, 4000000};

struct scan {
    size_t depth, deepest, values;
};

/* Counts brackets and commas outside strings; whether the text is JSON at all is the library's business. */
static struct scan scan_text(const char *bytes, size_t count) {
    struct scan scan = {0, 0, 1};
    bool in_string = false;
    for (size_t i = 0; i < count; i++) {
        char c = bytes[i];
        if (in_string) {
            if (c == '\\')
                i++;
            else if (c == '"')
                in_string = false;
        } else if (c == '"') {
            in_string = true;
        } else if (c == '[' || c == '{') {
            scan.values++;
            if (++scan.depth > scan.deepest)
                scan.deepest = scan.depth;
        } else if (c == ']' || c == '}') {
            scan.depth -= scan.depth > 0;
        } else if (c == ',') {
            scan.values++;
        }
    }
    return scan;
}

json_t *document_read(const char *bytes, size_t count, const struct document_limits *limits,
                      struct fault *fault) {
    if (count > limits->bytes) {
        fault_set(fault, "too-large", "", "The text has %zu bytes; the most that is read is %zu. Split it.",
                  count, limits->bytes);
        return NULL;
    }
    struct scan scan = scan_text(bytes, count);
    if (scan.deepest > limits->depth) {
        fault_set(fault, "too-deep", "", "Arrays and objects are nested %zu deep; the most is %zu.",
                  scan.deepest, limits->depth);
        return NULL;
    }
    if (scan.values > limits->values) {
        fault_set(fault, "too-large", "", "The text holds some %zu values; the most is %zu. Split it.",
                  scan.values, limits->values);
        return NULL;
    }
    json_error_t error;
    json_t *json = json_loadb(bytes, count, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);
    if (json == NULL) {
        char where[64];
        snprintf(where, sizeof where, "line %d, column %d", error.line, error.column);
        fault_set(fault, "bad-json", where, "This is not JSON: %s. Mend it there and send it again.",
                  error.text);
    }
    return json;
}

/* Reads to the end or to one byte past `most`, so that a pipe that never ends is refused, not followed. */
static char *slurp(FILE *file, size_t most, size_t *count) {
    size_t room = 65536, used = 0;
    char *bytes = malloc(room);
    while (bytes != NULL) {
        used += fread(bytes + used, 1, room - used, file);
        if (used < room || used > most)
            break;
        room *= 2;
        char *more = realloc(bytes, room);
        if (more == NULL)
            free(bytes);
        bytes = more;
    }
    *count = used;
    return bytes;
}

json_t *document_read_file(const char *path, const struct document_limits *limits, struct fault *fault) {
    bool standard = strcmp(path, "-") == 0;
    FILE *file = standard ? stdin : fopen(path, "rb");
    if (file == NULL) {
        fault_set(fault, "no-file", path, "The file cannot be opened: %s.", strerror(errno));
        return NULL;
    }
    size_t count;
    char *bytes = slurp(file, limits->bytes, &count);
    bool broken = ferror(file) != 0;
    if (!standard)
        fclose(file);
    json_t *json = NULL;
    if (bytes == NULL)
        fault_memory(fault);
    else if (broken)
        fault_set(fault, "no-file", path, "The file cannot be read to its end.");
    else
        json = document_read(bytes, count, limits, fault);
    free(bytes);
    return json;
}

json_t *document_length(ell_length length) {
    return length % 10 == 0 ? json_integer(length / 10) : json_real((double)length / 10);
}
