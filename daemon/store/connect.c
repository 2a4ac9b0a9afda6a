/* Making a connection. SPDX-License-Identifier: Apache-2.0 */
#include "store/clock.h"
#include "store/connection.h"
#include "store/hosts.h"
#include "store/queries.h"

#include <poll.h>
#include <stdio.h>

/* How long the server lets an open transaction of a halted daemon stand. */
static const char idle_in_transaction_ms[] = "60000";

static bool late(struct connection *connection, struct fault *fault) {
    connection->spoilt = true;
    return fault_set(fault, "store-unavailable", "", "The database does not answer; try again shortly.");
}

static void keep_quiet(void *state, const PGresult *notice) {
    (void)state;
    (void)notice;
}

static bool shake_hands(struct connection *connection, int64_t deadline, struct fault *fault) {
    PostgresPollingStatusType step = PGRES_POLLING_WRITING;
    while (step == PGRES_POLLING_READING || step == PGRES_POLLING_WRITING) {
        int ready = connection_wait(connection, step == PGRES_POLLING_READING ? POLLIN : POLLOUT, deadline);
        if (ready == 0)
            return late(connection, fault);
        if (ready < 0)
            return connection_lost(connection, fault);
        step = PQconnectPoll(connection->link);
    }
    return step == PGRES_POLLING_OK || connection_lost(connection, fault);
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
    connection->link = link;
    connection->spoilt = false;
    connection->prepared_count = 0;
    connection->queued_count = 0;
    if (link == NULL)
        return fault_memory(fault);
    PQsetNoticeReceiver(link, keep_quiet, NULL);
    bool good = (PQstatus(link) != CONNECTION_BAD || connection_lost(connection, fault)) &&
                shake_hands(connection, deadline, fault) &&
                (PQsetnonblocking(link, 1) == 0 || connection_lost(connection, fault)) &&
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
