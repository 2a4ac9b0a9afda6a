/* PQcancel connects and waits by itself, without a limit when the server is halted. So a thread of its own
 * runs the errand, and whoever asked waits only so long for it. SPDX-License-Identifier: Apache-2.0 */
#include "store/clock.h"
#include "store/connection.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>

/* Errands that nobody waits for any more; more of them than this are not begun. */
enum { MOST_ERRANDS = 16 };
static atomic_int errands;

struct errand {
    pthread_mutex_t lock;
    pthread_cond_t changed;
    bool finished, asked; /* asked: the server took the request */
    bool left;            /* nobody waits: the thread frees */
    PGcancel *cancel;
};

static void errand_free(struct errand *errand) {
    PQfreeCancel(errand->cancel);
    pthread_cond_destroy(&errand->changed);
    pthread_mutex_destroy(&errand->lock);
    free(errand);
    atomic_fetch_sub(&errands, 1);
}

static void *run_errand(void *state) {
    struct errand *errand = state;
    char reason[256];
    bool asked = PQcancel(errand->cancel, reason, sizeof reason) == 1;
    pthread_mutex_lock(&errand->lock);
    errand->finished = true;
    errand->asked = asked;
    bool left = errand->left;
    pthread_cond_signal(&errand->changed);
    pthread_mutex_unlock(&errand->lock);
    if (left)
        errand_free(errand);
    return NULL;
}

static struct errand *errand_new(PGconn *link) {
    if (atomic_fetch_add(&errands, 1) >= MOST_ERRANDS) {
        atomic_fetch_sub(&errands, 1);
        return NULL;
    }
    struct errand *errand = calloc(1, sizeof *errand);
    PGcancel *cancel = PQgetCancel(link);
    if (errand == NULL || cancel == NULL) {
        free(errand);
        PQfreeCancel(cancel);
        atomic_fetch_sub(&errands, 1);
        return NULL;
    }
    errand->cancel = cancel;
    pthread_mutex_init(&errand->lock, NULL);
    clock_condition(&errand->changed);
    return errand;
}

bool connection_cancel(struct connection *connection, int64_t deadline) {
    struct errand *errand = errand_new(connection->link);
    if (errand == NULL)
        return false;
    pthread_t thread;
    if (pthread_create(&thread, NULL, run_errand, errand) != 0) {
        errand_free(errand);
        return false;
    }
    pthread_detach(thread);
    struct timespec moment = clock_moment(deadline);
    pthread_mutex_lock(&errand->lock);
    while (!errand->finished && pthread_cond_timedwait(&errand->changed, &errand->lock, &moment) == 0)
        ;
    bool finished = errand->finished;
    bool asked = errand->asked;
    errand->left = !finished;
    pthread_mutex_unlock(&errand->lock);
    if (finished)
        errand_free(errand);
    return asked;
}
