/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/wake.h"

#include <time.h>

void wake_init(struct wake *wake) {
    pthread_condattr_t monotonic;
    pthread_condattr_init(&monotonic);
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    *wake = (struct wake){.rings = 0};
    pthread_mutex_init(&wake->mutex, NULL);
    pthread_cond_init(&wake->rung, &monotonic);
    pthread_condattr_destroy(&monotonic);
}

void wake_destroy(struct wake *wake) {
    pthread_cond_destroy(&wake->rung);
    pthread_mutex_destroy(&wake->mutex);
}

static void ring(struct wake *wake, bool closing) {
    pthread_mutex_lock(&wake->mutex);
    wake->rings++;
    wake->closing = wake->closing || closing;
    pthread_cond_broadcast(&wake->rung);
    pthread_mutex_unlock(&wake->mutex);
}

void wake_ring(struct wake *wake) {
    ring(wake, false);
}

void wake_close(struct wake *wake) {
    ring(wake, true);
}

bool wake_is_closing(struct wake *wake) {
    pthread_mutex_lock(&wake->mutex);
    bool closing = wake->closing;
    pthread_mutex_unlock(&wake->mutex);
    return closing;
}

bool wake_wait(struct wake *wake, unsigned long *heard, int timeout_ms) {
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_sec += timeout_ms / 1000;
    until.tv_nsec += (timeout_ms % 1000) * 1000000L;
    until.tv_sec += until.tv_nsec / 1000000000L;
    until.tv_nsec %= 1000000000L;
    pthread_mutex_lock(&wake->mutex);
    int result = 0;
    while (wake->rings == *heard && !wake->closing && result == 0)
        result = pthread_cond_timedwait(&wake->rung, &wake->mutex, &until);
    *heard = wake->rings;
    bool open = !wake->closing;
    pthread_mutex_unlock(&wake->mutex);
    return open;
}
