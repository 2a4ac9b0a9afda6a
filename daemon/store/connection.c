/* SPDX-License-Identifier: Apache-2.0 */
#include "store/connection.h"

#include "common/text.h"
#include "store/clock.h"
#include "store/hosts.h"
#include "store/queries.h"

#include <errno.h>
#include <limits.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* How long a cancelled statement is given to say so. */
enum { DRAIN_MS = 2000 };
/* How long the server lets an open transaction of a halted daemon stand. */
static const char idle_in_transaction_ms[] = "60000";

int connection_wait(const struct connection *connection, short events, int64_t deadline) {
    for (;;) {
        struct pollfd socket = {.fd = PQsocket(connection->link), .events = events};
        if (socket.fd < 0)
            return -1;
        int64_t left = deadline - clock_now();
        if (left < 0)
            left = 0;
        int ready = poll(&socket, 1, left > INT_MAX ? INT_MAX : (int)left);
        if (ready >= 0)
            return ready > 0;
        if (errno != EINTR)
            return -1;
    }
}

/* libpq's report is of several lines, and its prefix is for programmers. */
static bool lost(struct connection *connection, struct fault *fault) {
    char reason[sizeof fault->message];
    text_copy(reason, sizeof reason, connection->link == NULL ? "" : PQerrorMessage(connection->link));
    for (char *letter = reason; *letter != '\0'; letter++)
        if (*letter == '\n' || *letter == '\t')
            *letter = ' ';
    connection->spoilt = true;
    refusal_explain(&(struct refusal){.message = reason}, fault);
    return false;
}

static bool late(struct connection *connection, struct fault *fault) {
    connection->spoilt = true;
    return fault_set(fault, "store-unavailable", "", "The database does not answer; try again shortly.");
}

static void keep_quiet(void *state, const PGresult *notice) {
    (void)state;
    (void)notice;
}

/* ---- connecting */

static bool shake_hands(struct connection *connection, int64_t deadline, struct fault *fault) {
    PostgresPollingStatusType step = PGRES_POLLING_WRITING;
    while (step == PGRES_POLLING_READING || step == PGRES_POLLING_WRITING) {
        int ready = connection_wait(connection, step == PGRES_POLLING_READING ? POLLIN : POLLOUT, deadline);
        if (ready == 0)
            return late(connection, fault);
        if (ready < 0)
            return lost(connection, fault);
        step = PQconnectPoll(connection->link);
    }
    return step == PGRES_POLLING_OK || lost(connection, fault);
}

static bool set_up(struct connection *connection, const struct store_options *options, int64_t deadline,
                   struct fault *fault) {
    char limit[24];
    snprintf(limit, sizeof limit, "%d", options->statement_timeout_ms);
    const char *texts[] = {limit, options->workshop, idle_in_transaction_ms};
    PGresult *result = NULL;
    enum refusal_verdict verdict;
    bool good = connection_run(connection, &query_session_setup, texts, deadline, &result, &verdict, fault);
    PQclear(result);
    return good;
}

/* `host` NULL: as conninfo says. */
static PGconn *start(const struct store_options *options, const char *host, const char *address,
                     const char *port) {
    /* What stands before dbname, conninfo may change. A silent network is noticed within a quarter of a minute. */
    const char *const names[] = {"application_name",
                                 "target_session_attrs",
                                 "tcp_user_timeout",
                                 "keepalives_idle",
                                 "keepalives_interval",
                                 "keepalives_count",
                                 "dbname",
                                 "client_encoding",
                                 host == NULL ? NULL : "host",
                                 "hostaddr",
                                 "port",
                                 NULL};
    const char *const texts[] = {options->application, "read-write", "10000", "10",    "3",  "2",
                                 options->conninfo,    "UTF8",       host,    address, port, NULL};
    return PQconnectStartParams(names, texts, 1);
}

/* Takes over `link`. */
static bool open_link(struct connection *connection, PGconn *link, const struct store_options *options,
                      int64_t deadline, struct fault *fault) {
    *connection = (struct connection){.link = link};
    if (link == NULL)
        return fault_memory(fault);
    PQsetNoticeReceiver(link, keep_quiet, NULL);
    bool good = (PQstatus(link) != CONNECTION_BAD || lost(connection, fault)) &&
                shake_hands(connection, deadline, fault) &&
                (PQsetnonblocking(link, 1) == 0 || lost(connection, fault)) &&
                set_up(connection, options, deadline, fault);
    if (!good)
        connection_close(connection);
    return good;
}

bool connection_open(struct connection *connection, const struct store_options *options, int64_t deadline,
                     struct fault *fault) {
    struct hosts hosts;
    hosts_read(options->conninfo, &hosts);
    if (hosts.count == 0)
        return open_link(connection, start(options, NULL, NULL, NULL), options, deadline, fault);
    bool good = false;
    for (int i = 0; !good && i < hosts.count; i++) {
        int64_t now = clock_now();
        int64_t limit = now + (deadline - now) / (hosts.count - i);
        PGconn *link = start(options, hosts.item[i].host, hosts.item[i].address, hosts.item[i].port);
        good = open_link(connection, link, options, limit, fault);
    }
    return good;
}

void connection_close(struct connection *connection) {
    PQfinish(connection->link);
    free(connection->prepared);
    *connection = (struct connection){0};
}

bool connection_alive(struct connection *connection) {
    /* An idle connection has nothing to say but that it ends. */
    if (connection_wait(connection, POLLIN, 0) != 0 && PQconsumeInput(connection->link) == 0)
        return false;
    return connection_clean(connection) && connection_wait(connection, POLLIN, 0) == 0;
}

bool connection_clean(const struct connection *connection) {
    return connection->link != NULL && !connection->spoilt && PQstatus(connection->link) == CONNECTION_OK &&
           PQtransactionStatus(connection->link) == PQTRANS_IDLE;
}

/* ---- one exchange: what was queued goes out, results come in */

enum exchange { EXCHANGE_DONE, EXCHANGE_LATE, EXCHANGE_BROKEN };

static enum exchange send_out(struct connection *connection, int64_t deadline) {
    int unsent;
    while ((unsent = PQflush(connection->link)) == 1) {
        int ready = connection_wait(connection, POLLIN | POLLOUT, deadline);
        if (ready <= 0)
            return ready == 0 ? EXCHANGE_LATE : EXCHANGE_BROKEN;
        /* The server may be stuck until we read what it says. */
        if (PQconsumeInput(connection->link) == 0)
            return EXCHANGE_BROKEN;
    }
    return unsent == 0 ? EXCHANGE_DONE : EXCHANGE_BROKEN;
}

static bool is_failure(const PGresult *result) {
    ExecStatusType status = PQresultStatus(result);
    return status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK;
}

/* Reads all results of what was sent; *result is the first failure, else the last result, else NULL. */
static enum exchange take_in(struct connection *connection, int64_t deadline, PGresult **result) {
    for (;;) {
        while (PQisBusy(connection->link)) {
            int ready = connection_wait(connection, POLLIN, deadline);
            if (ready <= 0)
                return ready == 0 ? EXCHANGE_LATE : EXCHANGE_BROKEN;
            if (PQconsumeInput(connection->link) == 0)
                return EXCHANGE_BROKEN;
        }
        PGresult *next = PQgetResult(connection->link);
        if (next == NULL)
            return EXCHANGE_DONE;
        /* A COPY would answer for ever; no statement of ours is one. */
        if (PQresultStatus(next) == PGRES_COPY_IN || PQresultStatus(next) == PGRES_COPY_OUT) {
            PQclear(next);
            return EXCHANGE_BROKEN;
        }
        if (*result != NULL && is_failure(*result)) {
            PQclear(next);
        } else {
            PQclear(*result);
            *result = next;
        }
    }
}

/* The server is told to stop, and what it says to that is read away, so that the connection is fit for a
 * rollback. */
static bool take_back(struct connection *connection, const char *name, struct fault *fault) {
    int64_t drained = store_deadline(DRAIN_MS);
    PGresult *ignored = NULL;
    bool good = connection_cancel(connection, drained) && send_out(connection, drained) == EXCHANGE_DONE &&
                take_in(connection, drained, &ignored) == EXCHANGE_DONE;
    PQclear(ignored);
    if (!good)
        connection->spoilt = true;
    refusal_explain(&(struct refusal){.state = "57014", .statement = name}, fault);
    return false;
}

static enum refusal_verdict explain(const PGresult *result, const char *name, struct fault *fault) {
    struct refusal refusal = {.state = PQresultErrorField(result, PG_DIAG_SQLSTATE),
                              .message = PQresultErrorField(result, PG_DIAG_MESSAGE_PRIMARY),
                              .detail = PQresultErrorField(result, PG_DIAG_MESSAGE_DETAIL),
                              .hint = PQresultErrorField(result, PG_DIAG_MESSAGE_HINT),
                              .constraint = PQresultErrorField(result, PG_DIAG_CONSTRAINT_NAME),
                              .statement = name};
    return refusal_explain(&refusal, fault);
}

/* `sent`: what PQsend... answered. */
static bool exchange(struct connection *connection, int sent, const char *name, int64_t deadline,
                     PGresult **result, enum refusal_verdict *verdict, struct fault *fault) {
    PGresult *taken = NULL;
    enum exchange outcome = sent ? send_out(connection, deadline) : EXCHANGE_BROKEN;
    if (outcome == EXCHANGE_DONE)
        outcome = take_in(connection, deadline, &taken);
    bool good = outcome == EXCHANGE_DONE && taken != NULL && !is_failure(taken);
    *verdict = REFUSAL_FINAL;
    if (outcome == EXCHANGE_LATE)
        take_back(connection, name, fault);
    if (taken != NULL && is_failure(taken)) {
        *verdict = explain(taken, name, fault);
    } else if (outcome == EXCHANGE_BROKEN) {
        *verdict = REFUSAL_LOST;
        lost(connection, fault);
    } else if (outcome == EXCHANGE_DONE && !good) {
        connection->spoilt = true;
        fault_memory(fault);
    }
    if (outcome == EXCHANGE_BROKEN || *verdict >= REFUSAL_STALE)
        connection->spoilt = true;
    if (good)
        *result = taken;
    else
        PQclear(taken);
    return good;
}

/* ---- statements */

static bool is_prepared(const struct connection *connection, const struct query *query) {
    for (size_t i = 0; i < connection->prepared_count; i++)
        if (connection->prepared[i] == query)
            return true;
    return false;
}

static bool prepare(struct connection *connection, const struct query *query, int64_t deadline,
                    enum refusal_verdict *verdict, struct fault *fault) {
    if (connection->prepared_count == connection->prepared_room) {
        size_t room = connection->prepared_room == 0 ? 32 : 2 * connection->prepared_room;
        const struct query **grown = realloc(connection->prepared, room * sizeof(*grown));
        *verdict = REFUSAL_FINAL;
        if (grown == NULL)
            return fault_memory(fault);
        connection->prepared = grown;
        connection->prepared_room = room;
    }
    PGresult *result = NULL;
    int sent = PQsendPrepare(connection->link, query->name, query->text, 0, NULL);
    if (!exchange(connection, sent, query->name, deadline, &result, verdict, fault))
        return false;
    PQclear(result);
    connection->prepared[connection->prepared_count++] = query;
    return true;
}

bool connection_run(struct connection *connection, const struct query *query, const char *const *texts,
                    int64_t deadline, PGresult **result, enum refusal_verdict *verdict, struct fault *fault) {
    if (connection->spoilt || connection->link == NULL) {
        *verdict = REFUSAL_LOST;
        return fault_set(fault, "store-unavailable", "",
                         "The connection to the database is gone; try again.");
    }
    if (!is_prepared(connection, query) && !prepare(connection, query, deadline, verdict, fault))
        return false;
    int sent = PQsendQueryPrepared(connection->link, query->name, query->parameters, texts, NULL, NULL, 0);
    return exchange(connection, sent, query->name, deadline, result, verdict, fault);
}

bool connection_script(struct connection *connection, const char *name, const char *text, int64_t deadline,
                       struct fault *fault) {
    PGresult *result = NULL;
    enum refusal_verdict verdict;
    bool good =
        exchange(connection, PQsendQuery(connection->link, text), name, deadline, &result, &verdict, fault);
    PQclear(result);
    return good;
}
