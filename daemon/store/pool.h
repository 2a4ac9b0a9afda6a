/* The pool's inside, for the files of this room. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_POOL_H
#define ELLWAND_STORE_POOL_H

#include "store/connection.h"

#include <pthread.h>

struct store_session {
    struct connection connection;
    int64_t deadline;
    bool busy;        /* borrowed; the rest but `connection.link` is then the borrower's alone */
    bool transaction; /* faults stick */
    bool failed;
    enum refusal_verdict verdict; /* of the fault that stuck */
    struct fault first;
};

struct store {
    struct store_options options; /* texts owned */
    pthread_mutex_t lock;         /* guards everything below but the sessions that are borrowed */
    pthread_cond_t changed;       /* a session came back, or the store closes */
    bool closing;
    unsigned failures;    /* of connecting, in a row */
    int64_t next_attempt; /* not before */
    struct fault last;    /* why the last attempt failed */
    uint64_t random;
    struct store_session sessions[];
};

/* Milliseconds to wait before the attempt after `failures`. Takes the lock. */
int64_t pool_delay(struct store *store, unsigned failures, int64_t base, int64_t most);
void pool_log(const struct store *store, const char *format, ...) PRINTF_LIKE(2, 3);

/* store_run without the rule that faults stick; fills session->verdict. */
bool session_run(struct store_session *session, const struct query *query, struct store_values *values,
                 struct store_rows *rows, struct fault *fault) MUST_CHECK;
/* The same for store_run_later. */
bool session_queue(struct store_session *session, const struct query *query, struct store_values *values,
                   struct fault *fault) MUST_CHECK;

#endif
