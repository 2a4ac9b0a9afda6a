/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/service.h"

#include <string.h>

static void *service_body(void *argument) {
    struct service *service = argument;
    bool good = service->open(service->owner, &service->fault);
    service->good = good;
    sem_post(&service->opened);
    if (good)
        service->run(service->owner);
    atomic_store(&service->ended, true);
    return NULL;
}

bool service_start(struct service *service, bool (*open)(void *, struct fault *), void (*run)(void *),
                   void *owner, struct fault *fault) {
    *service = (struct service){.open = open, .run = run, .owner = owner};
    sem_init(&service->opened, 0, 0);
    int error = pthread_create(&service->thread, NULL, service_body, service);
    if (error != 0) {
        sem_destroy(&service->opened);
        return fault_set(fault, "out-of-memory", "threads", "A thread cannot be started: %s.",
                         strerror(error));
    }
    service->running = true;
    while (sem_wait(&service->opened) != 0)
        continue;
    if (service->good)
        return true;
    *fault = service->fault;
    service_join(service);
    return false;
}

void service_join(struct service *service) {
    if (!service->running)
        return;
    pthread_join(service->thread, NULL);
    sem_destroy(&service->opened);
    service->running = false;
}
