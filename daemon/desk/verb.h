/* What a verb is made of. One file in verbs/ for each thing a person does; its name (order_take.c) gives the
 * symbol (desk_verb_order_take), and the build makes the table of all of them.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_VERB_H
#define ELLWAND_DESK_VERB_H

#include "common/document.h"
#include "store/queries.h"
#include "store/store.h"

#include <jansson.h>

struct catalogue;
struct catalogue_lease;
struct desk;

enum desk_role { ROLE_DESK = 1, ROLE_SAW = 2, ROLE_STORES = 4, ROLE_MANAGER = 8, ROLE_ANY = 15 };

/* One request on its way. The transaction is open and knows the key and the request id; the verb neither
 * begins nor ends it. It may run again from the start when the store asks for that: no effect outside the
 * session. */
struct desk_call {
    struct desk *desk;
    struct store_session *session;
    int64_t workshop;
    const char *key_name;
    unsigned roles;
    const json_t *body;
    /* Set by the verb: whom to wake once its transaction is committed (they also look by themselves). */
    bool wakes_planner, wakes_printers;
    struct catalogue_lease *lease; /* the core's, for desk_catalogue */
    char *written;                 /* the core's, from desk_answer_of */
};

/* What a verb does to the store. Most changes run serializable: whatever others do at the same moment, it comes out as if
 * one had waited for the other. The verbs that many people use at once on the same few parts lock what they read, in the
 * order job_order, kit, part (sql/queries/reservation/lock.sql), and then see what the last holder left: under
 * read committed they wait in turn where serializable ones would have to begin again. */
enum desk_effect {
    DESK_READS,
    DESK_READS_EVERYTHING, /* takes as long as there is history: minutes, whatever the request's own time is */
    DESK_CHANGES,          /* from here on a verb changes something */
    DESK_CHANGES_UNDER_LOCKS,
    DESK_CHANGES_MUCH /* under locks, and as long as there is much given: minutes, too */
};

struct desk_verb {
    const char *name;        /* "order.take" */
    unsigned roles;          /* any one of these is enough */
    enum desk_effect effect; /* of what changes, the answers are kept by (key, request id) */
    const char *summary;     /* one line for the protocol page */
    /* The result (a new reference), or NULL and fault. */
    json_t *(*run)(struct desk_call *call, struct fault *fault);
};

static inline bool desk_changes(const struct desk_verb *verb) {
    return verb->effect >= DESK_CHANGES;
}

/* The answer of a statement that takes ($1 workshop, $2 the body as jsonb) and gives one JSON value: what
 * most verbs that only read are made of. NULL and fault when it fails; "not-found" with `what` when it gives
 * no row or null. */
json_t *desk_read(struct desk_call *call, const struct query *query, const char *what, struct fault *fault);

/* The same as the whole answer of a verb that only reads: passed on as the database wrote it, for to read it here and to write it
 * again takes longer than most statements. What it returns stands for the answer and says nothing of it. */
json_t *desk_answer_of(struct desk_call *call, const struct query *query, const char *what,
                       struct fault *fault);

/* Says why, for the history rows of this transaction. With "" it stays as it was: the verb's name. */
bool desk_reason(struct desk_call *call, const char *reason, struct fault *fault) MUST_CHECK;

/* Tells those who watch; leaves with the commit. `body` is taken over. */
bool desk_announce(struct desk_call *call, const char *topic, json_t *body, struct fault *fault) MUST_CHECK;

/* The workshop's catalogue as the take-off reads it, from the cache while its version is the one in the
 * store. Borrowed: valid until the call ends. NULL and fault ("no-catalogue"). */
const struct catalogue *desk_catalogue(struct desk_call *call, int64_t *version, struct fault *fault);

#endif
