/* A bell between threads: ring it, and whoever sleeps on it looks for work. A ring while nobody sleeps is not
 * lost. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_WAKE_H
#define ELLWAND_DESK_WAKE_H

#include <pthread.h>
#include <stdbool.h>

struct wake {
    pthread_mutex_t mutex;
    pthread_cond_t rung;
    unsigned long rings;
    bool closing;
};

void wake_init(struct wake *wake);
void wake_destroy(struct wake *wake);
void wake_ring(struct wake *wake);
/* Rings for the last time: every wake_wait answers false from now on. */
void wake_close(struct wake *wake);
bool wake_is_closing(struct wake *wake);
/* Sleeps until a ring later than *heard (which it then updates) or for timeout_ms. False once closed. */
bool wake_wait(struct wake *wake, unsigned long *heard, int timeout_ms);

#endif
