/* One connection, never waited for past a deadline. For the files of this room.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_CONNECTION_H
#define ELLWAND_STORE_CONNECTION_H

#include "store/refusal.h"
#include "store/store.h"

#include <libpq-fe.h>

enum { PREPARED_MOST = 512, QUEUED_MOST = 16 };

struct connection {
    PGconn *link; /* NULL: closed */
    bool spoilt;  /* must not be used again, only closed */
    size_t prepared_count;
    const struct query *prepared[PREPARED_MOST];
    int queued_count; /* statements that go out before the next one that is waited for */
    const struct query *queued[QUEUED_MOST];
};

/* Connects and sets the session up. On failure the connection is closed, fault "store-unavailable". */
bool connection_open(struct connection *connection, const struct store_options *options, int64_t deadline,
                     struct fault *fault) MUST_CHECK;
void connection_close(struct connection *connection);

/* Looks, without waiting, whether an idle connection still stands. */
bool connection_alive(struct connection *connection) MUST_CHECK;
/* Whether it can be used by the next one: stands, and is in no transaction. */
bool connection_clean(const struct connection *connection) MUST_CHECK;

/* Runs a query with the texts of its parameters, prepared at its first use. On success the caller owns
 * *result. A statement past its deadline is cancelled and its answer drained; where that fails too, the
 * connection is spoilt. */
bool connection_run(struct connection *connection, const struct query *query, const char *const *texts,
                    int64_t deadline, PGresult **result, enum refusal_verdict *verdict,
                    struct fault *fault) MUST_CHECK;
/* Keeps a query back until the next connection_run, with which it goes out and comes back in one turn: if it fails, that one fails
 * with its fault, and nothing after it was run. *queued is false when it cannot wait (not prepared yet, no room): run it then. */
bool connection_queue(struct connection *connection, const struct query *query, const char *const *texts,
                      bool *queued, enum refusal_verdict *verdict, struct fault *fault) MUST_CHECK;
/* Any number of statements without parameters; `name` is for messages. */
bool connection_script(struct connection *connection, const char *name, const char *text, int64_t deadline,
                       struct fault *fault) MUST_CHECK;

/* Waits for `events` of poll(2) on its socket. 1: there; 0: deadline passed; -1: broken. */
int connection_wait(const struct connection *connection, short events, int64_t deadline);

/* Marks it spoilt and says "store-unavailable" with libpq's reason. Always false. */
bool connection_lost(struct connection *connection, struct fault *fault);

/* Asks the server to stop what the connection is at, waiting no longer than `deadline`. False when that could
 * not be done. */
bool connection_cancel(struct connection *connection, int64_t deadline) MUST_CHECK;

#endif
