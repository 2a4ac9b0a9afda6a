/* The clock of deadlines. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_CLOCK_H
#define ELLWAND_STORE_CLOCK_H

#include <pthread.h>
#include <stdint.h>
#include <time.h>

/* Milliseconds of CLOCK_MONOTONIC. */
int64_t clock_now(void);
/* A condition whose timed waits count on that clock. */
void clock_condition(pthread_cond_t *condition);
/* The same moment for pthread_cond_timedwait. */
struct timespec clock_moment(int64_t at);
/* The earlier one. */
int64_t clock_earlier(int64_t one, int64_t other);

#endif
