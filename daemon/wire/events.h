/* The thread that owns the PUB socket: waits for the workshop's events and sends each as
 * [topic][version][JSON]. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_EVENTS_H
#define ELLWAND_WIRE_EVENTS_H

#include "wire/service.h"
#include "wire/wire.h"

#include <stdatomic.h>

struct events {
    void *context;
    const struct wire_handlers *handlers;
    const struct wire_options *options; /* used by events_start only */
    char endpoint[256];                 /* out: as bound */
    /* Private. */
    struct service service;
    void *socket;
    atomic_bool stopping;
};

/* Binds and starts; the caller has filled the public fields. fault as wire_open. */
bool events_start(struct events *events, struct fault *fault) MUST_CHECK;
/* From any thread: no event goes out after at most a quarter of a second. */
void events_hush(struct events *events);
void events_stop(struct events *events);

#endif
