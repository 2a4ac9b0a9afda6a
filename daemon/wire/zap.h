/* The ZAP handler (ZeroMQ RFC 27): ZeroMQ asks it about every key that a peer shows.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_ZAP_H
#define ELLWAND_WIRE_ZAP_H

#include "wire/service.h"
#include "wire/wire.h"

struct zap {
    void *context;
    const struct wire_handlers *handlers;
    const char *plain_key_name; /* the name of peers without CURVE; NULL: they are refused */
    /* Private. */
    struct service service;
    void *asked, *control;
    int64_t quiet_until_ms;
};

/* Binds inproc://zeromq.zap.01 of the context before it returns. Without a handler there ZeroMQ would let
 * every key in, so it must start before any server socket and end after the last. The caller fills the public
 * fields, which must outlive the thread. When the handler ends without zap_stop it tells the broker. */
bool zap_start(struct zap *zap, struct fault *fault) MUST_CHECK;
void zap_stop(struct zap *zap);

#endif
