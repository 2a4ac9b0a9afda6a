/* Hearing what is notified. SPDX-License-Identifier: Apache-2.0 */
#include "common/text.h"
#include "store/clock.h"
#include "store/pool.h"
#include "store/queries.h"

#include <poll.h>
#include <stdlib.h>
#include <time.h>

enum { RECONNECT_BASE_MS = 100, RECONNECT_MOST_MS = 5000 };

struct store_listener {
    struct store *store;
    struct connection connection;
    char channel[64];
    unsigned failures;
    int64_t next_attempt;
};

bool store_listen(struct store *store, const char *channel, struct store_listener **listener,
                  struct fault *fault) {
    struct store_listener *made = calloc(1, sizeof *made);
    if (made == NULL)
        return fault_memory(fault);
    made->store = store;
    if (!text_copy(made->channel, sizeof made->channel, channel) || *channel == '\0') {
        free(made);
        return fault_set(fault, "internal", "", "The name of a channel has 1 to 63 bytes.");
    }
    *listener = made;
    return true;
}

void store_unlisten(struct store_listener **listener) {
    if (*listener == NULL)
        return;
    connection_close(&(*listener)->connection);
    free(*listener);
    *listener = NULL;
}

static bool run(struct store_listener *listener, const struct query *query, const char *const *texts,
                int64_t limit, struct fault *fault) {
    PGresult *result = NULL;
    enum refusal_verdict verdict;
    bool good = connection_run(&listener->connection, query, texts, limit, &result, &verdict, fault);
    PQclear(result);
    return good;
}

static bool tune_in(struct store_listener *listener, struct fault *fault) {
    const struct store_options *options = &listener->store->options;
    const char *channel[] = {listener->channel};
    int64_t limit = store_deadline(options->connect_timeout_ms);
    return connection_open(&listener->connection, options, limit, fault) &&
           run(listener, &query_session_channel, channel, limit, fault) &&
           run(listener, &query_session_listen, NULL, limit, fault);
}

static void sleep_until(int64_t at) {
    struct timespec moment = clock_moment(at);
    clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &moment, NULL);
}

/* One attempt, or a sleep until one is due. True when connected. */
static bool reconnect(struct store_listener *listener, int64_t deadline) {
    struct fault fault;
    if (clock_now() < listener->next_attempt) {
        sleep_until(clock_earlier(deadline, listener->next_attempt));
        return false;
    }
    if (tune_in(listener, &fault)) {
        if (listener->failures > 0)
            pool_log(listener->store, "events are heard again");
        listener->failures = 0;
        return true;
    }
    connection_close(&listener->connection);
    if (listener->failures++ == 0)
        pool_log(listener->store, "events are not heard: %s", fault.message);
    int64_t delay = pool_delay(listener->store, listener->failures, RECONNECT_BASE_MS, RECONNECT_MOST_MS);
    listener->next_attempt = store_deadline(delay);
    return false;
}

/* The next notification that libpq already holds. */
static bool take_news(struct store_listener *listener, char *payload, size_t size) {
    PGnotify *news;
    while ((news = PQnotifies(listener->connection.link)) != NULL) {
        bool full = *news->extra != '\0';
        if (full)
            text_copy(payload, size, news->extra);
        PQfreemem(news);
        if (full)
            return true;
    }
    return false;
}

bool store_listen_next(struct store_listener *listener, int timeout_ms, char *payload, size_t size) {
    int64_t deadline = store_deadline(timeout_ms);
    for (;;) {
        if (listener->connection.link == NULL) {
            if (reconnect(listener, deadline)) {
                text_copy(payload, size, "");
                return true;
            }
        } else if (take_news(listener, payload, size)) {
            return true;
        } else {
            int ready = connection_wait(&listener->connection, POLLIN, deadline);
            if (ready < 0 || (ready > 0 && PQconsumeInput(listener->connection.link) == 0)) {
                connection_close(&listener->connection);
                listener->next_attempt = 0;
            } else if (take_news(listener, payload, size)) {
                return true;
            }
        }
        if (clock_now() >= deadline)
            return false;
    }
}
