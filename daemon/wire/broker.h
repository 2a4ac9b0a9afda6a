/* The thread that owns the ROUTER socket: takes requests, keeps the queue, feeds the workers, sends replies. A request
 * that comes again while its first copy waits or runs is not begun a second time; its answer goes to whoever asked last.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_BROKER_H
#define ELLWAND_WIRE_BROKER_H

#include "wire/inside.h"
#include "wire/queue.h"
#include "wire/service.h"
#include "wire/wire.h"

struct broker {
    void *context;
    const struct wire_handlers *handlers;
    struct wire_options options;                            /* its strings are used by broker_start only */
    const char *events_endpoint;                            /* as bound, told by ping */
    void (*failed)(void *owner, const struct fault *fault); /* as in wire_handlers */
    void *owner;
    char endpoint[256]; /* out: as bound */
    /* Private. */
    struct service service;
    struct service workers[WORKERS_MOST];
    int workers_started;
    void *front, *back, *control;
    struct queue queue;
    int idle[WORKERS_MOST], idle_count;
    struct waiting running[WORKERS_MOST]; /* what each worker does; its body has gone to the worker */
    bool busy[WORKERS_MOST];
    bool stopping, zap_died;
};

/* Binds and starts the workers; the caller has filled the public fields. fault as wire_open. */
bool broker_start(struct broker *broker, struct fault *fault) MUST_CHECK;
/* As wire_close tells. */
void broker_stop(struct broker *broker);

#endif
