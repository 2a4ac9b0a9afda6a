/* Messages of several frames, and the options every server socket gets.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_PARTS_H
#define ELLWAND_WIRE_PARTS_H

#include "common/fault.h"

#include <stddef.h>
#include <zmq.h>

/* Most frames that are kept of one message; the rest is read and thrown away. */
enum { PARTS_MOST = 8 };

struct parts {
    size_t count; /* as sent, so it may be more than are kept */
    size_t kept;
    zmq_msg_t messages[PARTS_MOST];
};

/* Reads one whole message. False when there is none (ZMQ_DONTWAIT in `flags`) or the context ends; `parts`
 * then holds nothing. On success the caller closes it. */
bool parts_receive(void *socket, struct parts *parts, int flags) MUST_CHECK;
void parts_close(struct parts *parts);

const char *parts_bytes(struct parts *parts, size_t index);
size_t parts_size(struct parts *parts, size_t index);
/* Copies frame `index` to text closed by NUL, cut to size - 1 bytes. */
void parts_text(struct parts *parts, size_t index, char *text, size_t size);

/* Sends one frame without ever waiting; ZMQ_SNDMORE in `flags` where more follow. False when it could not be
 * sent. The second moves what `message` holds; the caller still closes it. */
bool send_bytes(void *socket, const void *bytes, size_t size, int flags);
bool send_message(void *socket, zmq_msg_t *message, int flags);

/* What a socket of the network asks of its peers. */
struct socket_security {
    const char *secret_key; /* NULL: no CURVE */
    const char *zap_domain;
    int handshake_ms;
};

/* A bound server socket of `type`; its endpoint with the true port goes to `bound` (256 bytes). NULL with
 * fault "bad-endpoint" when it cannot be bound. */
void *socket_serve(void *context, int type, const struct socket_security *security, const char *endpoint,
                   char bound[256], struct fault *fault) MUST_CHECK;

/* A socket between threads. NULL with a fault. */
void *socket_inside(void *context, int type, const char *endpoint, bool bind, struct fault *fault) MUST_CHECK;

/* Sends one word to the PULL socket that `endpoint` names, from any thread. */
void tell(void *context, const char *endpoint, const char *word);

#endif
