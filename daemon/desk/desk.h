/* The desk: the use cases. It takes a verb with a body, does it in one transaction, and gives the answer.
 *
 * One `struct desk` is shared by all threads of a daemon; every function here may be called from any thread
 * unless it says otherwise. PostgreSQL is the only state: several daemons may serve one workshop at once.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_DESK_H
#define ELLWAND_DESK_DESK_H

#include "common/fault.h"

#include <stddef.h>
#include <stdint.h>

struct desk;

struct desk_options {
    const char *database; /* libpq connection string of the daemon's role */
    const char *workshop; /* its name in the table workshop */
    int connections;      /* of the pool: 2 to 64 */
    int connect_timeout_ms;
    int statement_timeout_ms;
    const char *cups_server; /* "" for libcups's own choice */
};

/* Opens the store and finds the workshop. Faults: "store-unavailable", "schema-behind", "schema-ahead",
 * "unknown-workshop". The caller owns *desk (desk_close). */
bool desk_open(const struct desk_options *options, struct desk **desk, struct fault *fault) MUST_CHECK;
/* Ends the desk's own threads, closes the store, and sets *desk to NULL. Call after the wire is closed. */
void desk_close(struct desk **desk);

/* Starts the desk's own threads: the planner and one print worker for each station. */
bool desk_start(struct desk *desk, struct fault *fault) MUST_CHECK;

struct desk_request {
    const char *key_name; /* the name that the handshake gave the peer's key */
    const char *verb;
    const char *request_id;
    const char *body; /* JSON text, need not end in NUL */
    size_t body_size;
    int64_t deadline_ms; /* CLOCK_MONOTONIC, milliseconds */
};

/* Answers one request; blocks until done or past the deadline. *reply is always set to JSON text (the caller
 * frees it): the result, and true; or an error {"code","message","where"}, and false. A verb that changes
 * something is done at most once for each (key, request id): its stored answer comes back. */
bool desk_answer(struct desk *desk, const struct desk_request *request, char **reply);

enum desk_key { DESK_KEY_REFUSED, DESK_KEY_KNOWN, DESK_KEY_LATER /* the store cannot be asked now */ };

/* Whether a CURVE public key (Z85, 40 characters) may come in; fills the name it goes by. Blocks for 3 s at
 * most. */
enum desk_key desk_key_known(struct desk *desk, const char *public_key, char name[64]);

/* Waits up to timeout_ms for the workshop's next event. *body is JSON text (the caller frees it). False when
 * none came. For one thread only. */
bool desk_event_next(struct desk *desk, int timeout_ms, char topic[64], char **body);

/* The verbs, for the protocol page and its test: [{"verb","roles":[..],"changes":bool,"summary"}], as JSON
 * text that the caller frees; NULL without memory. */
char *desk_verbs(void);

#endif
