/* SPDX-License-Identifier: Apache-2.0 */
/* What a peer with a key can send: any number of frames with any bytes, then the body as the desk reads it. The input is
 * frames, each after its length in two bytes (little-endian). */
#include "wire/frames.h"
#include "common/document.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

enum { INPUT_FRAMES = 12 };

static void must(bool holds) {
    if (!holds)
        abort();
}

static size_t split(const uint8_t *data, size_t size, struct frame frames[INPUT_FRAMES]) {
    size_t count = 0;
    while (size >= 2 && count < INPUT_FRAMES) {
        size_t length = data[0] | (size_t)data[1] << 8;
        length = length > size - 2 ? size - 2 : length;
        frames[count++] = (struct frame){(const char *)data + 2, length};
        data += 2 + length;
        size -= 2 + length;
    }
    return count;
}

/* An error must be JSON that names what is wrong, whatever bytes led to it. */
static void check_error(const struct fault *fault) {
    must(fault->code[0] && fault->message[0]);
    char *text = frames_error(fault);
    must(text != NULL);
    json_t *error = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
    must(error != NULL && json_is_string(json_object_get(error, "code")));
    json_decref(error);
    free(text);
}

static void read_body(struct frame body) {
    struct fault fault = {0};
    json_t *json = document_read(body.bytes, body.size, &document_small, &fault);
    if (json == NULL)
        check_error(&fault);
    json_decref(json);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct frame frames[INPUT_FRAMES];
    struct request_frames request;
    struct fault fault = {0};
    size_t count = split(data, size, frames);
    bool good = frames_read(frames, count, &request, &fault);
    must(request.id.size == 0 || ell_word_valid(request.id.bytes, request.id.size, ELL_REQUEST_ID_MAX));
    if (!good) {
        check_error(&fault);
        return 0;
    }
    must(count == 4 + (size_t)request.delimited && request.id.size > 0);
    must(ell_verb_valid(request.verb.bytes, request.verb.size) && request.body.size > 0);
    read_body(request.body);
    return 0;
}
