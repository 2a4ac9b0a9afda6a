/* SPDX-License-Identifier: Apache-2.0 */
#include "store/connection.h"

#include "common/text.h"
#include "store/clock.h"

#include <errno.h>
#include <limits.h>
#include <poll.h>
#include <string.h>

/* How long a cancelled statement is given to say so. */
enum { DRAIN_MS = 2000 };

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
bool connection_lost(struct connection *connection, struct fault *fault) {
    char reason[sizeof fault->message];
    text_copy(reason, sizeof reason, connection->link == NULL ? "" : PQerrorMessage(connection->link));
    for (char *letter = reason; *letter != '\0'; letter++)
        if (*letter == '\n' || *letter == '\t')
            *letter = ' ';
    connection->spoilt = true;
    refusal_explain(&(struct refusal){.message = reason}, fault);
    return false;
}

void connection_close(struct connection *connection) {
    PQfinish(connection->link);
    connection->link = NULL;
    connection->spoilt = false;
    connection->prepared_count = 0;
    connection->queued_count = 0;
}

bool connection_alive(struct connection *connection) {
    /* An idle connection has nothing to say but that it ends. */
    if (connection_wait(connection, POLLIN, 0) != 0 && PQconsumeInput(connection->link) == 0)
        return false;
    return connection_clean(connection) && connection_wait(connection, POLLIN, 0) == 0;
}

bool connection_clean(const struct connection *connection) {
    return connection->link != NULL && !connection->spoilt && PQstatus(connection->link) == CONNECTION_OK &&
           PQtransactionStatus(connection->link) == PQTRANS_IDLE && connection->queued_count == 0;
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

/* Reads all results of what was sent; *result is the first failure, else the last result, else NULL. Of several statements sent
 * together each ends with NULL and all of them with a mark; *failed counts those before the one that failed. */
static enum exchange take_in(struct connection *connection, int64_t deadline, PGresult **result,
                             int *failed) {
    bool together = PQpipelineStatus(connection->link) != PQ_PIPELINE_OFF;
    bool silent = true;
    int ended = 0;
    for (;;) {
        while (PQisBusy(connection->link)) {
            int ready = connection_wait(connection, POLLIN, deadline);
            if (ready <= 0)
                return ready == 0 ? EXCHANGE_LATE : EXCHANGE_BROKEN;
            if (PQconsumeInput(connection->link) == 0)
                return EXCHANGE_BROKEN;
        }
        PGresult *next = PQgetResult(connection->link);
        if (next == NULL && !together)
            return EXCHANGE_DONE;
        if (next == NULL && silent)
            return EXCHANGE_BROKEN; /* a statement without an answer */
        silent = next == NULL;
        ended += silent;
        if (silent)
            continue;
        if (PQresultStatus(next) == PGRES_PIPELINE_SYNC) {
            PQclear(next);
            return PQexitPipelineMode(connection->link) == 1 ? EXCHANGE_DONE : EXCHANGE_BROKEN;
        }
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
            *failed = ended;
        }
    }
}

/* The server is told to stop, and what it says to that is read away, so that the connection is fit for a
 * rollback. */
static bool take_back(struct connection *connection, const char *name, struct fault *fault) {
    int64_t drained = store_deadline(DRAIN_MS);
    PGresult *ignored = NULL;
    int failed;
    bool good = connection_cancel(connection, drained) && send_out(connection, drained) == EXCHANGE_DONE &&
                take_in(connection, drained, &ignored, &failed) == EXCHANGE_DONE;
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
    int failed = connection->queued_count;
    enum exchange outcome = sent ? send_out(connection, deadline) : EXCHANGE_BROKEN;
    if (outcome == EXCHANGE_DONE)
        outcome = take_in(connection, deadline, &taken, &failed);
    if (failed < connection->queued_count)
        name = connection->queued[failed]->name;
    connection->queued_count = 0;
    bool good = outcome == EXCHANGE_DONE && taken != NULL && !is_failure(taken);
    *verdict = REFUSAL_FINAL;
    if (outcome == EXCHANGE_LATE)
        take_back(connection, name, fault);
    if (taken != NULL && is_failure(taken)) {
        *verdict = explain(taken, name, fault);
    } else if (outcome == EXCHANGE_BROKEN) {
        *verdict = REFUSAL_LOST;
        connection_lost(connection, fault);
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

/* Beyond the room to remember them, statements are prepared without a name, each time anew. */
static const char *name_for(const struct connection *connection, const struct query *query) {
    return is_prepared(connection, query) || connection->prepared_count < PREPARED_MOST ? query->name : "";
}

static bool prepare(struct connection *connection, const struct query *query, int64_t deadline,
                    enum refusal_verdict *verdict, struct fault *fault) {
    PGresult *result = NULL;
    const char *name = name_for(connection, query);
    int sent = PQsendPrepare(connection->link, name, query->text, 0, NULL);
    if (!exchange(connection, sent, query->name, deadline, &result, verdict, fault))
        return false;
    PQclear(result);
    if (*name != '\0')
        connection->prepared[connection->prepared_count++] = query;
    return true;
}

static bool is_gone(const struct connection *connection, enum refusal_verdict *verdict, struct fault *fault) {
    if (!connection->spoilt && connection->link != NULL)
        return false;
    *verdict = REFUSAL_LOST;
    fault_set(fault, "store-unavailable", "", "The connection to the database is gone; try again.");
    return true;
}

bool connection_queue(struct connection *connection, const struct query *query, const char *const *texts,
                      bool *queued, enum refusal_verdict *verdict, struct fault *fault) {
    if (is_gone(connection, verdict, fault))
        return false;
    *queued = is_prepared(connection, query) && connection->queued_count < QUEUED_MOST &&
              (connection->queued_count > 0 || PQenterPipelineMode(connection->link) == 1);
    if (!*queued)
        return true;
    if (PQsendQueryPrepared(connection->link, query->name, query->parameters, texts, NULL, NULL, 0) != 1) {
        *verdict = REFUSAL_LOST;
        return connection_lost(connection, fault);
    }
    connection->queued[connection->queued_count++] = query;
    return true;
}

/* What was kept back goes out alone. */
static bool run_queued(struct connection *connection, int64_t deadline, enum refusal_verdict *verdict,
                       struct fault *fault) {
    PGresult *result = NULL;
    bool good = connection->queued_count == 0 ||
                exchange(connection, PQpipelineSync(connection->link), "", deadline, &result, verdict, fault);
    PQclear(result);
    return good;
}

bool connection_run(struct connection *connection, const struct query *query, const char *const *texts,
                    int64_t deadline, PGresult **result, enum refusal_verdict *verdict, struct fault *fault) {
    if (is_gone(connection, verdict, fault))
        return false;
    const char *name = name_for(connection, query);
    if (!is_prepared(connection, query) && !(run_queued(connection, deadline, verdict, fault) &&
                                             prepare(connection, query, deadline, verdict, fault)))
        return false;
    int sent = PQsendQueryPrepared(connection->link, name, query->parameters, texts, NULL, NULL, 0);
    if (connection->queued_count > 0 && sent == 1)
        sent = PQpipelineSync(connection->link);
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
