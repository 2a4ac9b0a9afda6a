/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/frames.h"

#include <jansson.h>
#include <string.h>

static bool same(struct frame frame, const char *text) {
    return frame.size == strlen(text) && memcmp(frame.bytes, text, frame.size) == 0;
}

static bool check_parts(const struct frame parts[4], struct fault *fault) {
    if (!same(parts[0], ELL_PROTOCOL))
        return fault_set(fault, "wrong-version", "frame 1, version",
                         "The first frame must be the eight bytes " ELL_PROTOCOL ".");
    if (!ell_verb_valid(parts[1].bytes, parts[1].size))
        return fault_set(fault, "bad-frames", "frame 2, verb",
                         "A verb is 1 to %d characters out of a-z, '.' and '-'; this frame has %zu bytes.",
                         ELL_VERB_MAX, parts[1].size);
    if (!ell_word_valid(parts[2].bytes, parts[2].size, ELL_REQUEST_ID_MAX))
        return fault_set(fault, "bad-frames", "frame 3, request id",
                         "A request id is 1 to %d characters out of letters, digits, '.', '_' and '-'; this "
                         "frame has %zu bytes.",
                         ELL_REQUEST_ID_MAX, parts[2].size);
    if (parts[3].size > ELL_BODY_MAX)
        return fault_set(fault, "too-large", "frame 4, body",
                         "The body has %zu bytes; the most is %zu. Split it.", parts[3].size, ELL_BODY_MAX);
    return true;
}

bool frames_read(const struct frame frames[], size_t count, struct request_frames *request,
                 struct fault *fault) {
    *request = (struct request_frames){.delimited = count > 0 && frames[0].size == 0};
    const struct frame *parts = frames + (request->delimited ? 1 : 0);
    size_t left = count - (request->delimited ? 1 : 0);
    if (left >= 3 && ell_word_valid(parts[2].bytes, parts[2].size, ELL_REQUEST_ID_MAX))
        request->id = parts[2];
    if (left != 4)
        return fault_set(fault, "bad-frames", "message",
                         "A request has 4 frames (version, verb, request id, body), after the empty one of a "
                         "REQ socket; this message has %zu.",
                         left);
    if (!check_parts(parts, fault))
        return false;
    request->verb = parts[1];
    request->body = parts[3].size > 0 ? parts[3] : (struct frame){"{}", 2};
    return true;
}

char *frames_error(const struct fault *fault) {
    json_t *error =
        json_pack("{s:s, s:s, s:s}", "code", fault->code, "message", fault->message, "where", fault->where);
    char *text = json_dumps(error, JSON_COMPACT);
    json_decref(error);
    return text;
}
