/* The store: PostgreSQL behind a small pool of connections. Every statement lives in sql/queries and is named
 * here by its `struct query`; nothing waits past its deadline, whatever the server does, but for 2 s at most in
 * which a late statement is taken back and 1 s for a rollback.
 *
 * Deadlines are absolute: milliseconds of CLOCK_MONOTONIC (store_deadline). A session belongs to one thread
 * at a time; a store to all of them.
 *
 * Codes of faults, beside those that statements raise themselves (SQLSTATE EW001: hint is the code, detail the place):
 *
 *   store-unavailable  the server cannot be reached or went away; nothing was kept
 *   store-busy         the server or the pool has no room now
 *   timeout            the deadline or the server's statement_timeout passed; the statement was taken back
 *   retry              others changed the same rows at the same moment, to the end of the deadline
 *   outcome-unknown    the connection broke during commit: kept or not. Repeat under the same request id
 *   conflict           a constraint refused (its name in `where`)
 *   bad-value          a value that the database cannot read (a number out of range, a malformed date)
 *   not-allowed        the daemon's role lacks a right
 *   internal           anything else: a mistake of this program
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_STORE_H
#define ELLWAND_STORE_STORE_H

#include "common/fault.h"
#include "store/query.h"
#include "store/values.h"

#include <jansson.h>
#include <stdint.h>

struct store;
struct store_session;

/* 0 and NULL take what stands in brackets. Texts are copied. */
struct store_options {
    const char
        *conninfo; /* libpq connection string of the daemon's role; the server's environment fills gaps */
    const char *application;                    /* shown by the server ["ellwandd"] */
    const char *workshop;                       /* the setting ellwand.workshop of each session [""] */
    int connections;                            /* most at once, 1 to 64 [4]; opened when needed */
    int connect_timeout_ms;                     /* for one attempt, shared by the hosts of conninfo [3000] */
    int statement_timeout_ms;                   /* the server's own limit for a statement [30000] */
    void (*log)(void *state, const char *line); /* server gone, back again; from any thread [none] */
    void *log_state;
};

/* `timeout_ms` from now. */
int64_t store_deadline(int64_t timeout_ms);

/* Does not connect yet, so a daemon starts while its server is down. Fault "bad-configuration" for a conninfo
 * that cannot be read or counts out of bounds. The caller owns *store. */
bool store_open(const struct store_options *options, struct store **store, struct fault *fault) MUST_CHECK;
/* Whether a connection string holds a password, so that it must be kept from others. False for one that cannot be read. */
bool store_conninfo_secret(const char *conninfo);
/* Refuses new borrowers, waits until every session is back, closes, and sets *store to NULL. Takes NULL. */
void store_close(struct store **store);

/* ---- transactions */

/* Runs `work` between begin and commit, serializable. `work` runs again from the start when the server asks
 * for it (serialisation failure, deadlock) or when the connection breaks before commit, so its effects
 * outside the session must bear repeating; `work` returning false rolls back and ends with its fault. False
 * leaves nothing changed, except for "outcome-unknown". */
bool store_transaction(struct store *store, int64_t deadline,
                       bool (*work)(struct store_session *session, void *state, struct fault *fault),
                       void *state, struct fault *fault) MUST_CHECK;
/* The same under read committed, for work that locks the rows it goes by before it reads them: where many work on the same
 * rows they wait in turn instead of beginning again. Deadlocks are still repeated. */
bool store_locking(struct store *store, int64_t deadline,
                   bool (*work)(struct store_session *session, void *state, struct fault *fault), void *state,
                   struct fault *fault) MUST_CHECK;
/* The same for work that only reads: everything is seen as of one moment, and nobody is held up by it. */
bool store_reading(struct store *store, int64_t deadline,
                   bool (*work)(struct store_session *session, void *state, struct fault *fault), void *state,
                   struct fault *fault) MUST_CHECK;

/* A session without a transaction: each statement stands for itself. NULL and fault when none is to be had
 * until `deadline`, which is also that of the session's statements. Give it back with store_return. */
struct store_session *store_borrow(struct store *store, int64_t deadline, struct fault *fault) MUST_CHECK;
/* Sets *session to NULL. */
void store_return(struct store *store, struct store_session **session);

/* For the rest of the transaction: on whose behalf it runs. Triggers that write history read it. */
bool store_identity(struct store_session *session, const char *key_name, const char *request_id,
                    struct fault *fault) MUST_CHECK;

/* ---- statements */

/* Rows that came back. Zero-initialise; rows_free takes it at any time. */
struct store_rows {
    struct pg_result *result;
};

/* Runs `query` with `values` (NULL for none; always emptied, also on failure). On success the caller owns
 * *rows. Within a transaction the first fault sticks: what follows it answers the same without asking the
 * server. */
bool store_run(struct store_session *session, const struct query *query, struct store_values *values,
               struct store_rows *rows, struct fault *fault) MUST_CHECK;
/* The same, for whoever wants no rows. */
bool store_run_nothing(struct store_session *session, const struct query *query, struct store_values *values,
                       struct fault *fault) MUST_CHECK;
/* The same for a statement of a transaction that what follows need not wait for: it goes out with the next one that is waited for,
 * the commit at the latest. If it fails that one fails in its stead, and nothing after it was run. */
bool store_run_later(struct store_session *session, const struct query *query, struct store_values *values,
                     struct fault *fault) MUST_CHECK;
/* The same, and there must be exactly one row: fault "not-found" when there is none. */
bool store_run_one(struct store_session *session, const struct query *query, struct store_values *values,
                   struct store_rows *rows, struct fault *fault) MUST_CHECK;
/* The same, for one row of one JSON column. *json is owned by the caller, and NULL when there was no row or
 * its value is null. */
bool store_run_json(struct store_session *session, const struct query *query, struct store_values *values,
                    json_t **json, struct fault *fault) MUST_CHECK;

int rows_count(const struct store_rows *rows);
/* Rows inserted, updated or deleted by the statement. */
int64_t rows_changed(const struct store_rows *rows);
/* Row and column from 0. Outside of the rows, and for null: true, "", 0, false, NULL. */
bool rows_is_null(const struct store_rows *rows, int row, int column);
/* Borrowed until rows_free. */
const char *rows_text(const struct store_rows *rows, int row, int column);
int64_t rows_integer(const struct store_rows *rows, int row, int column);
bool rows_boolean(const struct store_rows *rows, int row, int column);
/* Owned by the caller; NULL also for want of memory. */
json_t *rows_json(const struct store_rows *rows, int row, int column);
void rows_free(struct store_rows *rows);

/* ---- news */

/* Hears what is notified on a channel, over a connection of its own that comes back by itself. For one
 * thread. */
struct store_listener;

/* Does not connect yet. The caller owns *listener; close it before the store. `channel` is copied, at most 63
 * bytes. */
bool store_listen(struct store *store, const char *channel, struct store_listener **listener,
                  struct fault *fault) MUST_CHECK;
/* Waits up to timeout_ms (and, when it must connect, connect_timeout_ms more). True and the payload (of at most size-1 bytes, longer ones are cut) when there is
 * news. The payload is "" after each connection made, the first included: something may have been missed, so
 * look for yourself. Payloads of the server are never empty here: such are passed over. */
bool store_listen_next(struct store_listener *listener, int timeout_ms, char *payload,
                       size_t size) MUST_CHECK;
/* Sets *listener to NULL. Takes NULL. */
void store_unlisten(struct store_listener **listener);

#endif
