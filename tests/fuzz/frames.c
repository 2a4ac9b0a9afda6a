/* SPDX-License-Identifier: Apache-2.0 */
/* What a client sends before anything else is known of it: the frames of a request, then its body as JSON. */
#include "wire/frames.h"
#include "common/document.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

enum { MOST = 8 };

static void must(bool holds) {
    if (!holds)
        abort();
}

/* The input is frames one after the other, each behind two bytes that give its size. */
static size_t split(const uint8_t *data, size_t size, struct frame frames[MOST]) {
    size_t count = 0;
    while (size >= 2 && count < MOST) {
        size_t wanted = (size_t)data[0] << 8 | data[1];
        size_t length = wanted < size - 2 ? wanted : size - 2;
        frames[count++] = (struct frame){(const char *)data + 2, length};
        data += 2 + length;
        size -= 2 + length;
    }
    return count;
}

/* An error finds its way back as JSON, whatever bytes caused it. */
static void check_error(const struct fault *fault) {
    must(fault->code[0] && fault->message[0]);
    char *text = frames_error(fault);
    must(text);
    json_t *json = json_loads(text, 0, NULL);
    must(json_is_object(json) && json_is_string(json_object_get(json, "code")) &&
         json_is_string(json_object_get(json, "where")) && json_is_string(json_object_get(json, "message")));
    json_decref(json);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct frame frames[MOST];
    size_t count = split(data, size, frames);
    struct request_frames request;
    struct fault fault = {0};
    if (!frames_read(frames, count, &request, &fault)) {
        must(request.id.size == 0 || ell_word_valid(request.id.bytes, request.id.size, ELL_REQUEST_ID_MAX));
        check_error(&fault);
        return 0;
    }
    must(ell_verb_valid(request.verb.bytes, request.verb.size));
    must(ell_word_valid(request.id.bytes, request.id.size, ELL_REQUEST_ID_MAX));
    must(request.body.size <= ELL_BODY_MAX);
    json_t *body = document_read(request.body.bytes, request.body.size, &document_small, &fault);
    if (!body)
        check_error(&fault);
    json_decref(body);
    return 0;
}
