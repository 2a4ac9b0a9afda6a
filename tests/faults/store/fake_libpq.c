/* SPDX-License-Identifier: Apache-2.0 */
#include "fake_libpq.h"

#include <libpq-fe.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { RULES = 16, NAMES = 64, PARTS = 100, TOGETHER = 32 };

struct rule {
    const char *name, *detail;
    int nth;
    enum fake_event event;
};

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static struct rule rules[RULES];
static int rule_count;
static struct {
    char name[64];
    int sent;
} names[NAMES];
static int name_count;
static atomic_int connections, open_connections, results, turns;

struct pg_result {
    ExecStatusType status;
    const char *state, *tag;
};

struct pg_conn {
    int ours, servers; /* a pair of sockets: a byte from the server's end wakes poll */
    ConnStatusType status;
    PGTransactionStatusType transaction;
    enum fake_event event;
    const char *detail, *tag;
    char statement[64];
    int parts, pending; /* parts unsent; results to come */
    bool heard;         /* an answer has arrived */
    /* Pipeline mode: what was sent together, the one being answered, and whether one before it failed. */
    bool pipeline, marked, aborted, between;
    int together, at;
    struct {
        enum fake_event event;
        const char *detail;
        char statement[64];
    } sent[TOGETHER];
};

struct pg_cancel {
    PGconn *link;
};

/* ---- the script */

void fake_rule(const char *name, int nth, enum fake_event event, const char *detail) {
    rules[rule_count++] = (struct rule){name, detail, nth, event};
}

static int count(const char *name, int more) {
    pthread_mutex_lock(&lock);
    int at = 0;
    while (at < name_count && strcmp(names[at].name, name) != 0)
        at++;
    if (at == name_count)
        snprintf(names[name_count++].name, sizeof names[0].name, "%s", name);
    int sent = names[at].sent += more;
    pthread_mutex_unlock(&lock);
    return sent;
}

static const struct rule *rule_for(const char *name) {
    int nth = count(name, 1);
    for (int i = 0; i < rule_count; i++)
        if (strcmp(rules[i].name, name) == 0 && (rules[i].nth == 0 || rules[i].nth == nth))
            return &rules[i];
    return NULL;
}

int fake_sent(const char *name) {
    return count(name, 0);
}

int fake_connections(void) {
    return connections;
}

int fake_open(void) {
    return open_connections;
}

int fake_results(void) {
    return results;
}

int fake_turns(void) {
    return turns;
}

/* ---- connecting */

PGconn *PQconnectStartParams(const char *const *keywords, const char *const *values, int expand_dbname) {
    (void)keywords;
    (void)values;
    (void)expand_dbname;
    if (rule_for("connect") != NULL)
        return NULL;
    PGconn *conn = calloc(1, sizeof *conn);
    int pair[2];
    if (conn == NULL || socketpair(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK, 0, pair) != 0)
        abort();
    conn->ours = pair[0];
    conn->servers = pair[1];
    connections++;
    open_connections++;
    return conn;
}

PostgresPollingStatusType PQconnectPoll(PGconn *conn) {
    (void)conn;
    return PGRES_POLLING_OK;
}

void PQfinish(PGconn *conn) {
    if (conn == NULL)
        return;
    close(conn->ours);
    close(conn->servers);
    open_connections--;
    free(conn);
}

ConnStatusType PQstatus(const PGconn *conn) {
    return conn->status;
}

PGTransactionStatusType PQtransactionStatus(const PGconn *conn) {
    return conn->transaction;
}

int PQsocket(const PGconn *conn) {
    return conn->ours;
}

char *PQerrorMessage(const PGconn *conn) {
    static char broken[] = "server closed the connection unexpectedly\n\tThis probably means trouble.\n",
                none[] = "";
    return conn->status == CONNECTION_BAD ? broken : none;
}

int PQsetnonblocking(PGconn *conn, int arg) {
    (void)conn;
    (void)arg;
    return rule_for("nonblocking") != NULL ? -1 : 0;
}

PQnoticeReceiver PQsetNoticeReceiver(PGconn *conn, PQnoticeReceiver proc, void *arg) {
    (void)conn;
    (void)arg;
    return proc;
}

PQconninfoOption *PQconninfoParse(const char *conninfo, char **errmsg) {
    (void)conninfo;
    *errmsg = NULL;
    return calloc(1, sizeof(PQconninfoOption));
}

void PQconninfoFree(PQconninfoOption *connOptions) {
    free(connOptions);
}

void PQfreemem(void *ptr) {
    free(ptr);
}

/* ---- sending */

static void wake(PGconn *conn) {
    if (write(conn->servers, "x", 1) != 1)
        abort();
}

static void answer(PGconn *conn) {
    conn->pending = conn->event == FAKE_NO_MEMORY ? 0 : conn->event == FAKE_ERROR_LATER ? 2 : 1;
    if (conn->event == FAKE_LOST)
        conn->pending = 0;
    if (conn->event == FAKE_FATAL)
        conn->heard = true;
    wake(conn);
}

/* The next of those sent together is being answered. */
static void take_up(PGconn *conn) {
    conn->event = conn->sent[conn->at].event;
    conn->detail = conn->sent[conn->at].detail;
    snprintf(conn->statement, sizeof conn->statement, "%s", conn->sent[conn->at].statement);
    conn->parts = conn->event == FAKE_PARTIAL ? PARTS : 0;
    conn->pending = 0;
    if (conn->event != FAKE_SILENT && conn->event != FAKE_DEAF)
        answer(conn);
}

static int keep_for_later(PGconn *conn, const char *name) {
    const struct rule *rule = rule_for(name);
    enum fake_event event = rule == NULL ? FAKE_ANSWER : rule->event;
    if (conn->together == TOGETHER)
        abort();
    conn->sent[conn->together].event = event;
    conn->sent[conn->together].detail = rule == NULL ? NULL : rule->detail;
    snprintf(conn->sent[conn->together].statement, sizeof conn->statement, "%s", name);
    conn->together++;
    if (event == FAKE_UNSENT)
        conn->status = CONNECTION_BAD;
    return event != FAKE_UNSENT;
}

int PQenterPipelineMode(PGconn *conn) {
    conn->pipeline = true;
    conn->marked = conn->aborted = conn->between = false;
    conn->together = conn->at = 0;
    return 1;
}

int PQexitPipelineMode(PGconn *conn) {
    conn->pipeline = false;
    return 1;
}

PGpipelineStatus PQpipelineStatus(const PGconn *conn) {
    return conn->pipeline ? PQ_PIPELINE_ON : PQ_PIPELINE_OFF;
}

int PQpipelineSync(PGconn *conn) {
    conn->marked = true;
    conn->heard = false;
    if (conn->together > 0)
        take_up(conn);
    if (conn->event == FAKE_UNFLUSHED)
        conn->status = CONNECTION_BAD;
    return 1;
}

static int begin_statement(PGconn *conn, const char *name, bool prepares) {
    if (conn->pipeline)
        return keep_for_later(conn, name);
    const struct rule *rule = prepares ? NULL : rule_for(name);
    conn->event = rule == NULL ? FAKE_ANSWER : rule->event;
    conn->detail = rule == NULL ? NULL : rule->detail;
    snprintf(conn->statement, sizeof conn->statement, "%s", prepares ? "" : name);
    conn->parts = conn->event == FAKE_PARTIAL ? PARTS : 0;
    conn->pending = 0;
    conn->heard = false;
    if (conn->event == FAKE_UNSENT || conn->event == FAKE_UNFLUSHED)
        conn->status = CONNECTION_BAD;
    if (conn->event == FAKE_UNSENT)
        return 0;
    if (conn->event != FAKE_SILENT && conn->event != FAKE_DEAF)
        answer(conn);
    return 1;
}

int PQsendPrepare(PGconn *conn, const char *stmtName, const char *query, int nParams, const Oid *paramTypes) {
    (void)query;
    (void)nParams;
    (void)paramTypes;
    return begin_statement(conn, stmtName, true);
}

int PQsendQueryPrepared(PGconn *conn, const char *stmtName, int nParams, const char *const *paramValues,
                        const int *paramLengths, const int *paramFormats, int resultFormat) {
    (void)nParams;
    (void)paramValues;
    (void)paramLengths;
    (void)paramFormats;
    (void)resultFormat;
    return begin_statement(conn, stmtName, false);
}

int PQsendQuery(PGconn *conn, const char *query) {
    (void)query;
    return begin_statement(conn, "script", false);
}

int PQflush(PGconn *conn) {
    if (conn->event == FAKE_UNFLUSHED)
        return -1;
    if (conn->parts == 0)
        return 0;
    return --conn->parts > 0;
}

/* ---- receiving */

int PQconsumeInput(PGconn *conn) {
    char bytes[64];
    if (conn->parts > 0)
        turns++;
    if (read(conn->ours, bytes, sizeof bytes) > 0)
        conn->heard = true;
    if (conn->event == FAKE_LOST || (conn->event == FAKE_FATAL && conn->pending == 0)) {
        conn->status = CONNECTION_BAD;
        return 0;
    }
    return 1;
}

int PQisBusy(PGconn *conn) {
    return !conn->heard || conn->event == FAKE_LOST || (conn->event == FAKE_FATAL && conn->pending == 0);
}

static void settle(PGconn *conn, bool failed) {
    if (failed && conn->transaction == PQTRANS_INTRANS)
        conn->transaction = PQTRANS_INERROR;
    else if (!failed && strncmp(conn->statement, "session_begin", 13) == 0)
        conn->transaction = PQTRANS_INTRANS;
    if (strcmp(conn->statement, "session_commit") == 0 ||
        (strcmp(conn->statement, "session_rollback") == 0 && !failed))
        conn->transaction = PQTRANS_IDLE;
}

static PGresult *plain_result(PGconn *conn, ExecStatusType status) {
    PGresult *result = calloc(1, sizeof *result);
    if (result == NULL)
        abort();
    results++;
    result->status = status;
    result->tag = "COMMIT";
    conn->pending = 0;
    return result;
}

/* In pipeline mode: NULL after each statement, what follows a failed one is not run, and a mark at the end. */
static PGresult *next_together(PGconn *conn, bool *own) {
    *own = false;
    if (conn->between) {
        conn->between = false;
        if (++conn->at < conn->together)
            take_up(conn);
        return NULL;
    }
    if (conn->at == conn->together)
        return plain_result(conn, PGRES_PIPELINE_SYNC);
    if (conn->aborted) {
        conn->between = true;
        return plain_result(conn, PGRES_PIPELINE_ABORTED);
    }
    if (conn->pending == 0) { /* no memory for its answer */
        conn->at++;
        if (conn->at < conn->together)
            take_up(conn);
        return NULL;
    }
    *own = true;
    return NULL;
}

PGresult *PQgetResult(PGconn *conn) {
    if (conn->pipeline) {
        bool own;
        PGresult *other = next_together(conn, &own);
        if (!own)
            return other;
    }
    if (conn->pending == 0)
        return NULL;
    PGresult *result = calloc(1, sizeof *result);
    if (result == NULL)
        abort();
    results++;
    conn->pending--;
    bool error = conn->event == FAKE_ERROR || conn->event == FAKE_FATAL || conn->event == FAKE_SILENT ||
                 (conn->event == FAKE_ERROR_LATER && conn->pending == 0);
    result->status = error ? PGRES_FATAL_ERROR : conn->event == FAKE_COPY ? PGRES_COPY_IN : PGRES_TUPLES_OK;
    result->state = conn->event == FAKE_SILENT ? "57014" : conn->detail;
    result->tag = conn->event == FAKE_ANSWER && conn->detail != NULL ? conn->detail : "COMMIT";
    settle(conn, error);
    conn->aborted = conn->aborted || error;
    conn->between = conn->pending == 0;
    return result;
}

PGnotify *PQnotifies(PGconn *conn) {
    (void)conn;
    return NULL;
}

/* ---- cancelling */

PGcancel *PQgetCancel(PGconn *conn) {
    if (rule_for("cancel") != NULL)
        return NULL;
    PGcancel *cancel = calloc(1, sizeof *cancel);
    if (cancel == NULL)
        abort();
    cancel->link = conn;
    return cancel;
}

void PQfreeCancel(PGcancel *cancel) {
    free(cancel);
}

int PQcancel(PGcancel *cancel, char *errbuf, int errbufsize) {
    (void)errbuf;
    (void)errbufsize;
    if (cancel->link->event == FAKE_SILENT)
        answer(cancel->link);
    return 1;
}

/* ---- results */

ExecStatusType PQresultStatus(const PGresult *res) {
    return res->status;
}

char *PQresultErrorField(const PGresult *res, int fieldcode) {
    return fieldcode == PG_DIAG_SQLSTATE ? (char *)res->state : NULL;
}

char *PQcmdStatus(PGresult *res) {
    return (char *)res->tag;
}

char *PQcmdTuples(PGresult *res) {
    static char none[] = "0";
    (void)res;
    return none;
}

int PQntuples(const PGresult *res) {
    (void)res;
    return 0;
}

int PQnfields(const PGresult *res) {
    (void)res;
    return 0;
}

int PQgetisnull(const PGresult *res, int tup_num, int field_num) {
    (void)res;
    (void)tup_num;
    (void)field_num;
    return 1;
}

char *PQgetvalue(const PGresult *res, int tup_num, int field_num) {
    static char none[] = "";
    (void)res;
    (void)tup_num;
    (void)field_num;
    return none;
}

void PQclear(PGresult *res) {
    if (res != NULL)
        results--;
    free(res);
}
