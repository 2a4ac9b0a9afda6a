/* A thread that first opens what it will own, in itself, and tells whoever started it how that went: ZeroMQ
 * sockets must be made, used and closed by one thread. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_SERVICE_H
#define ELLWAND_WIRE_SERVICE_H

#include "common/fault.h"

#include <pthread.h>
#include <semaphore.h>
#include <stdatomic.h>

struct service {
    pthread_t thread;
    sem_t opened;
    bool running; /* started, not yet joined */
    bool good;
    atomic_bool ended; /* run() has returned, asked or not */
    struct fault fault;
    bool (*open)(void *owner, struct fault *fault); /* on failure it leaves nothing open */
    void (*run)(void *owner);                       /* closes what open made */
    void *owner;
};

/* Starts the thread and waits for its open(). On failure the thread has ended. */
bool service_start(struct service *service, bool (*open)(void *, struct fault *), void (*run)(void *),
                   void *owner, struct fault *fault) MUST_CHECK;
/* Waits for the end of run(), which somebody must have asked for; nothing when it does not run. */
void service_join(struct service *service);

#endif
