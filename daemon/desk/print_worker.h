/* The print worker: what its files share. One thread serves all stations in turn; where it is with each job stands in the
 * database, so another daemon, or this one after a crash, goes on from there.
 *
 *     queued -> sending -> printing -> printed
 *
 * "sending" is noted before CUPS is asked and "printing" after, under a job name that nobody else uses. Whoever finds a
 * job "sending" looks for that name before anything is printed again; what may or may not be on paper is held for a
 * person to look.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PRINT_WORKER_H
#define ELLWAND_DESK_PRINT_WORKER_H

#include "desk/inner.h"
#include "label/stock.h"
#include "print/print.h"

enum { PRINT_PATIENCE_MS = 3000 };

/* One attempt at a print job, claimed for this daemon for 20 seconds: a step asks CUPS three times at
 * most, so it never outlasts that. */
struct print_attempt {
    struct desk *desk;
    struct print_server server;
    int64_t job;
    int number;   /* counted from 1 */
    int cups_job; /* 0 when not known */
    bool resumed; /* "sending" was noted, what came of it was not */
    bool sent;    /* CUPS had it when last asked */
    bool folder;  /* target is a folder, not a queue */
    char kind[24];
    char target[512];
    char name[PRINT_NAME]; /* job-name and file name: "ellwand-WORKSHOP-JOB-ATTEMPT" */
    struct label_stock stock;
    json_t *payload;
};

/* What came of a step, to be noted. */
struct print_outcome {
    const char *state; /* "queued", "sending", "printing", "printed", "held" */
    int cups_job;
    int again_ms; /* when to look at it again */
    char words[640];
};

/* Claims the next thing to do at a station. *claimed is false when there is nothing. The caller frees the attempt with
 * print_attempt_free. */
bool print_claim(struct desk *desk, const char *station, struct print_attempt *attempt, bool *claimed,
                 struct fault *fault) MUST_CHECK;
void print_attempt_free(struct print_attempt *attempt);

/* Does the next step of an attempt: sends it, looks for it, or follows it. */
void print_attempt_step(struct print_attempt *attempt, struct print_outcome *outcome);

/* Notes what came of it; nothing when somebody else has the job by now. */
bool print_settle(const struct print_attempt *attempt, const struct print_outcome *outcome,
                  struct fault *fault) MUST_CHECK;

/* Leaves what this daemon has on its way to whoever comes next, at once. */
bool print_let_go(struct desk *desk, struct fault *fault) MUST_CHECK;

/* The stations: [{station, queue, folder, message, stale}]. A new reference; NULL and fault. */
json_t *print_stations(struct desk *desk, struct fault *fault) MUST_CHECK;
/* Notes how a station answered just now, "" when all is well. */
bool print_station_seen(struct desk *desk, const char *station, const char *words,
                        struct fault *fault) MUST_CHECK;

#endif
