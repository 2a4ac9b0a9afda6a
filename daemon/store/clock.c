/* SPDX-License-Identifier: Apache-2.0 */
#include "store/clock.h"

#include "store/store.h"

int64_t clock_now(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

int64_t store_deadline(int64_t timeout_ms) {
    return clock_now() + timeout_ms;
}

void clock_condition(pthread_cond_t *condition) {
    pthread_condattr_t attributes;
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(condition, &attributes);
    pthread_condattr_destroy(&attributes);
}

struct timespec clock_moment(int64_t at) {
    return (struct timespec){.tv_sec = at / 1000, .tv_nsec = at % 1000 * 1000000};
}

int64_t clock_earlier(int64_t one, int64_t other) {
    return one < other ? one : other;
}
