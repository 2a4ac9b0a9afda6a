/* The frames of a request, checked. Pure: no socket, so it is fuzzed as it stands.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_FRAMES_H
#define ELLWAND_WIRE_FRAMES_H

#include "common/fault.h"

#include <ellwand/protocol.h>
#include <stddef.h>

struct frame {
    const char *bytes; /* not closed by NUL */
    size_t size;
};

/* Most frames of a request: the empty one that a REQ socket puts first, version, verb, request id, body. */
enum { FRAMES_MOST = 5 };

struct request_frames {
    bool delimited; /* an empty frame came first, so the reply needs one too */
    struct frame verb, id, body;
};

/* Reads the `count` frames of a message; when there are more than FRAMES_MOST, only so many are looked at.
 * The result borrows the frames' bytes. fault "bad-frames" names the frame in `where` ("frame 2, verb");
 * "too-large" is for the body; "wrong-version" when another version speaks. After a failure `delimited` is
 * right and `id` is the request id if it could be read (else of size 0), so that the error finds its way back. */
bool frames_read(const struct frame frames[], size_t count, struct request_frames *request,
                 struct fault *fault) MUST_CHECK;

/* The error of a reply as JSON text from malloc, NULL when there is no memory. */
char *frames_error(const struct fault *fault);

#endif
