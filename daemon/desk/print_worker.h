/* The print workers: what their files share. One thread for each station; where it is with each job stands in the
 * database, so another daemon, or this one after a crash, goes on from there.
 *
 *     queued -> sending -> printing -> printed
 *
 * A job is sent when its printer is ready, so what waits can be moved to another station without any doubt. "sending" is
 * noted before CUPS is asked and "printing" after, under a job name that nobody else uses. Whoever finds a job "sending"
 * looks for that name before anything is printed again. A job that stops halfway goes on with its next label when the printer
 * says how many came out; what may or may not be on paper is held for a person to look, or printed again as marked reprints.
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
    int number;              /* counted from 1 */
    int cups_job;            /* 0 when not known */
    int64_t labels, done;    /* to print in this attempt; that came out before it */
    bool resumed;            /* "sending" was noted, what came of it was not */
    bool sent;               /* CUPS had it when last asked */
    bool folder;             /* target is a folder, not a queue */
    bool to_cancel, to_move; /* what a person wants to become of it */
    char kind[24];
    char target[512];
    char name[PRINT_NAME]; /* job-name and file name: "ellwand-WORKSHOP-JOB-ATTEMPT" */
    struct label_stock stock;
    const struct print_queue *queue; /* as it stood just now; NULL for a folder. Borrowed */
    json_t *payload;                 /* NULL unless it is to be sent now */
    json_t *page_ends;               /* on which page each of its labels ends; NULL when not known */
};

/* What came of a step, to be noted. */
struct print_outcome {
    const char *state; /* "queued", "sending", "printing", "printed", "held", "cancelled" */
    int cups_job;
    int again_ms; /* when to look at it again */
    char words[640];
    int64_t done;      /* labels of the attempt that came out, when it is over */
    bool unsure;       /* some more may have come out */
    bool again_marked; /* it is over; what is left is asked for again, as reprints, where it is to move to */
    bool clear_doubt;  /* the queue has a mark that makes each job after this one doubtful */
    int free_place;    /* the first place that it leaves free on a sheet of labels; 0: not told */
    json_t *page_ends; /* owned */
};

/* Claims the next thing to do at a station; one that waits only where the printer is `ready`. *claimed is false when there is
 * nothing. The caller frees the attempt with print_attempt_free. */
bool print_claim(struct desk *desk, const char *station, bool ready, struct print_attempt *attempt,
                 bool *claimed, struct fault *fault) MUST_CHECK;
void print_attempt_free(struct print_attempt *attempt);

/* Does the next step of an attempt: sends it, looks for it, or follows it. */
void print_attempt_step(struct print_attempt *attempt, struct print_outcome *outcome);

/* Notes what came of it; nothing when somebody else has the job by now. */
bool print_settle(const struct print_attempt *attempt, const struct print_outcome *outcome,
                  struct fault *fault) MUST_CHECK;

/* Leaves what this daemon has on its way to whoever comes next, at once. */
bool print_let_go(struct desk *desk, struct fault *fault) MUST_CHECK;

/* The codes of the stations: a JSON array. A new reference; NULL and fault. */
json_t *print_stations(struct desk *desk, struct fault *fault) MUST_CHECK;
/* One station as station/one.sql gives it; JSON null when it is gone. A new reference; NULL and fault. */
json_t *print_station(struct desk *desk, const char *station, struct fault *fault) MUST_CHECK;
/* Notes how a station answered just now, "" when all is well. */
bool print_station_seen(struct desk *desk, const char *station, const char *words,
                        struct fault *fault) MUST_CHECK;

/* Serves one station until the bell is closed or the station is gone. */
void print_station_serve(struct desk *desk, const char *station);

#endif
