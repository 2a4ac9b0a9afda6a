/* Borrowing and giving back. SPDX-License-Identifier: Apache-2.0 */
#include "store/pool.h"

#include "store/backoff.h"
#include "store/clock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>

enum { MOST_CONNECTIONS = 64, RECONNECT_BASE_MS = 50, RECONNECT_MOST_MS = 5000 };
/* With so many attempts failed in a row the server is taken to be down: nobody waits for the next attempt. */
enum { DOWN_FAILURES = 3 };

void pool_log(const struct store *store, const char *format, ...) {
    if (store->options.log == NULL)
        return;
    char line[700];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line, sizeof line, format, arguments);
    va_end(arguments);
    store->options.log(store->options.log_state, line);
}

int64_t pool_delay(struct store *store, unsigned failures, int64_t base, int64_t most) {
    pthread_mutex_lock(&store->lock);
    int64_t delay = backoff_delay(failures, base, most, backoff_random(&store->random));
    pthread_mutex_unlock(&store->lock);
    return delay;
}

/* ---- opening and closing */

static bool check_conninfo(const char *conninfo, struct fault *fault) {
    char *reason = NULL;
    PQconninfoOption *options = PQconninfoParse(conninfo, &reason);
    bool good = options != NULL;
    if (!good)
        fault_set(fault, reason == NULL ? "out-of-memory" : "bad-configuration", "database",
                  "The connection string cannot be read: %s", reason == NULL ? "out of memory" : reason);
    PQconninfoFree(options);
    PQfreemem(reason);
    return good;
}

static bool check_options(const struct store_options *options, struct fault *fault) {
    if (options->conninfo == NULL || options->connections < 0 || options->connections > MOST_CONNECTIONS ||
        options->connect_timeout_ms < 0 || options->statement_timeout_ms < 0)
        return fault_set(fault, "bad-configuration", "database",
                         "Give a connection string, 1 to %d connections, and time limits above 0.",
                         MOST_CONNECTIONS);
    return check_conninfo(options->conninfo, fault);
}

static bool copy_options(const struct store_options *from, struct store_options *to) {
    *to = *from;
    to->conninfo = strdup(from->conninfo);
    to->application = strdup(from->application == NULL ? "ellwandd" : from->application);
    to->workshop = strdup(from->workshop == NULL ? "" : from->workshop);
    if (to->connections == 0)
        to->connections = 4;
    if (to->connect_timeout_ms == 0)
        to->connect_timeout_ms = 3000;
    if (to->statement_timeout_ms == 0)
        to->statement_timeout_ms = 30000;
    return to->conninfo != NULL && to->application != NULL && to->workshop != NULL;
}

static void store_free(struct store *store) {
    free((char *)store->options.conninfo);
    free((char *)store->options.application);
    free((char *)store->options.workshop);
    pthread_cond_destroy(&store->changed);
    pthread_mutex_destroy(&store->lock);
    free(store);
}

bool store_open(const struct store_options *options, struct store **store, struct fault *fault) {
    if (!check_options(options, fault))
        return false;
    size_t count = options->connections == 0 ? 4 : (size_t)options->connections;
    struct store *made = calloc(1, sizeof *made + count * sizeof made->sessions[0]);
    if (made == NULL)
        return fault_memory(fault);
    pthread_mutex_init(&made->lock, NULL);
    clock_condition(&made->changed);
    if (!copy_options(options, &made->options)) {
        store_free(made);
        return fault_memory(fault);
    }
    if (getrandom(&made->random, sizeof made->random, GRND_NONBLOCK) != (ssize_t)sizeof made->random)
        made->random = (uint64_t)clock_now();
    *store = made;
    return true;
}

static bool all_back(const struct store *store) {
    for (int i = 0; i < store->options.connections; i++)
        if (store->sessions[i].busy)
            return false;
    return true;
}

void store_close(struct store **store) {
    struct store *closing = *store;
    if (closing == NULL)
        return;
    pthread_mutex_lock(&closing->lock);
    closing->closing = true;
    pthread_cond_broadcast(&closing->changed);
    while (!all_back(closing))
        pthread_cond_wait(&closing->changed, &closing->lock);
    pthread_mutex_unlock(&closing->lock);
    for (int i = 0; i < closing->options.connections; i++)
        connection_close(&closing->sessions[i].connection);
    store_free(closing);
    *store = NULL;
}

/* ---- borrowing */

/* A free session, one with a connection before one without. Needs the lock. */
static struct store_session *free_session(struct store *store) {
    struct store_session *best = NULL;
    for (int i = 0; i < store->options.connections; i++) {
        struct store_session *session = &store->sessions[i];
        if (!session->busy && session->connection.link != NULL)
            return session;
        if (!session->busy && best == NULL)
            best = session;
    }
    return best;
}

/* Waits for a free session that may be used now, and marks it. NULL and fault at the deadline. */
static struct store_session *claim(struct store *store, int64_t deadline, struct fault *fault) {
    struct store_session *session = NULL;
    pthread_mutex_lock(&store->lock);
    for (;;) {
        if (store->closing) {
            fault_set(fault, "store-unavailable", "", "The daemon is stopping; send the request again.");
            break;
        }
        struct store_session *found = free_session(store);
        int64_t now = clock_now();
        bool rests = found != NULL && found->connection.link == NULL && now < store->next_attempt;
        if (found != NULL && !rests) {
            session = found;
            session->busy = true;
            break;
        }
        if (rests && (store->failures >= DOWN_FAILURES || store->next_attempt >= deadline)) {
            *fault = store->last;
            break;
        }
        if (now >= deadline) {
            fault_set(fault, "store-busy", "",
                      "All %d connections to the database are in use; try again shortly.",
                      store->options.connections);
            break;
        }
        struct timespec moment = clock_moment(rests ? store->next_attempt : deadline);
        pthread_cond_timedwait(&store->changed, &store->lock, &moment);
    }
    pthread_mutex_unlock(&store->lock);
    return session;
}

static void release(struct store *store, struct store_session *session) {
    pthread_mutex_lock(&store->lock);
    session->busy = false;
    pthread_cond_broadcast(&store->changed);
    pthread_mutex_unlock(&store->lock);
}

/* Connects a claimed session; says how it went to those who come after. */
static bool connect_session(struct store *store, struct store_session *session, int64_t deadline,
                            struct fault *fault) {
    int64_t limit = clock_earlier(deadline, store_deadline(store->options.connect_timeout_ms));
    bool good = connection_open(&session->connection, &store->options, limit, fault);
    pthread_mutex_lock(&store->lock);
    unsigned before = store->failures;
    if (good) {
        store->failures = 0;
        store->next_attempt = 0;
    } else {
        store->failures++;
        store->last = *fault;
        store->next_attempt = store_deadline(backoff_delay(
            store->failures, RECONNECT_BASE_MS, RECONNECT_MOST_MS, backoff_random(&store->random)));
    }
    pthread_mutex_unlock(&store->lock);
    if (good && before > 0)
        pool_log(store, "the database answers again");
    if (!good && before == 0)
        pool_log(store, "%s", fault->message);
    return good;
}

struct store_session *store_borrow(struct store *store, int64_t deadline, struct fault *fault) {
    for (;;) {
        struct store_session *session = claim(store, deadline, fault);
        if (session == NULL)
            return NULL;
        if (session->connection.link != NULL && !connection_alive(&session->connection))
            connection_close(&session->connection);
        if (session->connection.link != NULL || connect_session(store, session, deadline, fault)) {
            session->deadline = deadline;
            session->transaction = session->failed = false;
            return session;
        }
        release(store, session);
        if (clock_now() >= deadline)
            return NULL;
    }
}

void store_return(struct store *store, struct store_session **session) {
    struct store_session *back = *session;
    if (back == NULL)
        return;
    *session = NULL;
    if (!connection_clean(&back->connection))
        connection_close(&back->connection);
    release(store, back);
}
