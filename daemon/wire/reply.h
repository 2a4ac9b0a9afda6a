/* What goes back through the ROUTER socket: [route][empty, for a REQ peer][version][request id]["ok" or
 * "error"][JSON]. Every function sends without waiting; a reply that its peer has no room for is dropped.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_REPLY_H
#define ELLWAND_WIRE_REPLY_H

#include "wire/frames.h"

#include <zmq.h>

struct ping {
    const char *key_name, *events_endpoint;
    int workers, busy, waiting;
};

/* `route` is moved out by all of them; the caller still closes it. */
void reply_fault(void *front, zmq_msg_t *route, bool delimited, struct frame id, const struct fault *fault);
void reply_ping(void *front, zmq_msg_t *route, bool delimited, struct frame id, const struct ping *ping);
/* `done` are the DONE_PARTS frames from a worker, moved out too. */
void reply_done(void *front, zmq_msg_t *route, bool delimited, struct frame id, zmq_msg_t done[]);

#endif
