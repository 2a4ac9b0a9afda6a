/* Begin, work, commit; and again, when the server asks for it. SPDX-License-Identifier: Apache-2.0 */
#include "store/clock.h"
#include "store/pool.h"
#include "store/queries.h"

#include <string.h>
#include <unistd.h>

enum { REPEAT_BASE_MS = 4, REPEAT_MOST_MS = 250 };
/* How long a rollback may take beyond the deadline of the work. */
enum { ROLLBACK_MS = 1000 };

struct attempt {
    const struct query *begin;
    bool (*work)(struct store_session *session, void *state, struct fault *fault);
    void *state;
};

/* Work that breaks so many connections in a row may well be what breaks them. */
enum { MOST_BROKEN = 3 };

enum attempt_end { ATTEMPT_DONE, ATTEMPT_FAILED, ATTEMPT_AGAIN };

static bool run_plain(struct store_session *session, const struct query *query, struct fault *fault) {
    struct store_rows rows = {0};
    bool good = session_run(session, query, NULL, &rows, fault);
    rows_free(&rows);
    return good;
}

/* Leaves session->verdict as it is. */
static void roll_back(struct store_session *session) {
    struct fault ignored;
    if (session->connection.spoilt)
        return; /* closing it rolls back */
    enum refusal_verdict verdict = session->verdict;
    session->deadline = store_deadline(ROLLBACK_MS);
    bool kept_back = session->connection.queued_count > 0;
    bool good = run_plain(session, &query_session_rollback, &ignored);
    /* What was kept back may fail before it, which leaves it undone. */
    if (!good && kept_back && !session->connection.spoilt)
        good = run_plain(session, &query_session_rollback, &ignored);
    session->connection.spoilt = !good;
    session->verdict = verdict;
}

/* An ERROR in answer to commit is a rollback for certain; silence, a broken connection or a server that stops
 * is not. */
static enum attempt_end commit(struct store_session *session, struct fault *fault) {
    struct store_rows rows = {0};
    if (session_run(session, &query_session_commit, NULL, &rows, fault)) {
        bool kept = strcmp(PQcmdStatus(rows.result), "COMMIT") == 0;
        rows_free(&rows);
        if (kept)
            return ATTEMPT_DONE;
        fault_set(fault, "internal", "", "The database rolled the work back where it should have kept it.");
        return ATTEMPT_FAILED;
    }
    if (session->verdict == REFUSAL_AGAIN)
        return ATTEMPT_AGAIN;
    bool silent = strcmp(fault->code, "timeout") == 0 || strcmp(fault->code, "out-of-memory") == 0;
    if (session->verdict == REFUSAL_LOST || silent) {
        session->connection.spoilt = true;
        fault_set(fault, "outcome-unknown", "",
                  "The database went away while it was keeping the work; send the same request again (same "
                  "id) to learn "
                  "how it ended.");
    }
    return ATTEMPT_FAILED;
}

static enum attempt_end run_attempt(struct store_session *session, const struct attempt *attempt,
                                    struct fault *fault) {
    if (!session_queue(session, attempt->begin, NULL, fault))
        return session->verdict == REFUSAL_FINAL ? ATTEMPT_FAILED : ATTEMPT_AGAIN;
    session->transaction = true;
    bool good = attempt->work(session, attempt->state, fault);
    session->transaction = false;
    if (good && session->failed) {
        *fault = session->first;
        good = false;
    }
    if (good) {
        enum attempt_end end = commit(session, fault);
        /* Something that was kept back failed, so that the commit was not run. */
        if (end != ATTEMPT_DONE && PQtransactionStatus(session->connection.link) == PQTRANS_INERROR)
            roll_back(session);
        return end;
    }
    bool again = session->failed && session->verdict != REFUSAL_FINAL;
    if (again)
        *fault = session->first;
    roll_back(session);
    return again ? ATTEMPT_AGAIN : ATTEMPT_FAILED;
}

static bool run_attempts(struct store *store, int64_t deadline, const struct attempt *attempt,
                         struct fault *fault) {
    int broken = 0;
    for (unsigned failures = 1;; failures++) {
        struct store_session *session = store_borrow(store, deadline, fault);
        if (session == NULL)
            return false;
        enum attempt_end end = run_attempt(session, attempt, fault);
        broken += session->verdict >= REFUSAL_STALE;
        store_return(store, &session);
        if (end != ATTEMPT_AGAIN)
            return end == ATTEMPT_DONE;
        int64_t delay = pool_delay(store, failures, REPEAT_BASE_MS, REPEAT_MOST_MS);
        if (broken > MOST_BROKEN || clock_now() + delay >= deadline)
            return false;
        usleep((useconds_t)(delay * 1000));
    }
}

bool store_transaction(struct store *store, int64_t deadline,
                       bool (*work)(struct store_session *session, void *state, struct fault *fault),
                       void *state, struct fault *fault) {
    struct attempt attempt = {.begin = &query_session_begin, .work = work, .state = state};
    return run_attempts(store, deadline, &attempt, fault);
}

bool store_locking(struct store *store, int64_t deadline,
                   bool (*work)(struct store_session *session, void *state, struct fault *fault), void *state,
                   struct fault *fault) {
    struct attempt attempt = {.begin = &query_session_begin_locking, .work = work, .state = state};
    return run_attempts(store, deadline, &attempt, fault);
}

bool store_reading(struct store *store, int64_t deadline,
                   bool (*work)(struct store_session *session, void *state, struct fault *fault), void *state,
                   struct fault *fault) {
    struct attempt attempt = {.begin = &query_session_begin_reading, .work = work, .state = state};
    return run_attempts(store, deadline, &attempt, fault);
}
