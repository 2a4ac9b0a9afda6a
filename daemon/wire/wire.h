/* The daemon's sockets: requests in, replies and events out.
 *
 * A ROUTER socket takes requests and gives them to a fixed number of worker threads, at most one each; what
 * waits for a worker waits in a bounded queue, and when that is full the answer is "busy", at once. `ping` is
 * answered here and needs no worker. A PUB socket sends events. Both sockets speak CURVE and ask the ZAP
 * handler of this room, which asks the desk, about every key; a message that does not carry the key's name
 * from that handler is dropped unread.
 *
 * The room knows nothing of what requests mean: it is given functions, so it runs without a database.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_WIRE_H
#define ELLWAND_WIRE_WIRE_H

#include "common/fault.h"

#include <ellwand/protocol.h>
#include <stddef.h>
#include <stdint.h>

/* One request, valid during the call. */
struct wire_request {
    const char *key_name;   /* of the key that sent it */
    const char *verb;       /* 1 to 40 of a-z . - */
    const char *request_id; /* 1 to 64 of A-Z a-z 0-9 . _ - */
    const char *body;       /* not closed by NUL, not yet looked at; "{}" where the sender left it empty */
    size_t body_size;       /* at most ELL_BODY_MAX */
    int64_t deadline_ms;    /* by CLOCK_MONOTONIC: from its arrival, waiting included */
};

enum wire_key {
    WIRE_KEY_REFUSED, /* unknown or switched off: the client is told, and stops trying */
    WIRE_KEY_KNOWN,
    WIRE_KEY_LATER /* cannot be told now (no database): the client goes on trying */
};

/* What the wire calls. `context` is handed through. */
struct wire_handlers {
    void *context;
    /* Answers one request before its deadline; *reply becomes JSON text from malloc: the result (true) or an
     * error {code, message, where} (false). Called from all workers at once. */
    bool (*answer)(void *context, const struct wire_request *request, char **reply);
    /* Who has this public key (Z85)? Fills the name (ell_word_valid). Called from one thread only, and while
     * it runs no other client gets in: it must have a time limit of its own. */
    enum wire_key (*key_known)(void *context, const char public_key[ELL_CURVE_TEXT],
                               char name[ELL_KEY_NAME_MAX + 1]);
    /* Waits up to timeout_ms for the next event; false when there is none. *json is from malloc. Called from
     * one thread only. */
    bool (*event_next)(void *context, int timeout_ms, char topic[ELL_TOPIC_MAX + 1], char **json);
    /* The wire has stopped by itself (no ZAP handler, no memory) and the daemon must end. Called at most
     * once, from a thread of the wire, so it must not call wire_close itself. */
    void (*failed)(void *context, const struct fault *fault);
};

struct wire_options {
    const char *endpoint;        /* for requests, "tcp://127.0.0.1:5577"; port * takes a free one */
    const char *events_endpoint; /* for events */
    const char *secret_key;      /* the daemon's CURVE secret key in Z85; may be wiped after wire_open */
    const char *plain_key_name;  /* not NULL: no CURVE, on loopback and ipc only; all peers are this key */
    int workers;                 /* 1 to 64 */
    int queue;                   /* requests that may wait, 1 to 100000; one key gets half of it at most */
    int64_t request_ms;          /* time for one request, waiting included; 100 to 600000 */
    int handshake_ms;            /* a peer that has not shown its key by then is cut off; 100 to 60000 */
};

extern const struct wire_options wire_defaults; /* loopback, 4 workers, 256 waiting, 15 s, 5 s, no key */

struct wire;

/* Starts the threads and binds. Signals should be blocked before, so that the threads of the library never
 * get one. fault: "bad-option" (where: the option), "bad-endpoint", "out-of-memory". On success the caller
 * closes *wire. */
bool wire_open(const struct wire_options *options, const struct wire_handlers *handlers, struct wire **wire,
               struct fault *fault) MUST_CHECK;

/* The endpoints as bound, with the true port. Borrowed, valid until wire_close. */
const char *wire_endpoint(const struct wire *wire);
const char *wire_events_endpoint(const struct wire *wire);

/* Takes no more requests, answers those that wait with "shutting-down", lets those that run finish, then ends
 * all threads and sockets. Sets *wire to NULL. Returns within the longest time the `answer` handler takes,
 * plus a second. */
void wire_close(struct wire **wire);

#endif
