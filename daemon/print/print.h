/* Printing through CUPS: queues, jobs, and their states in plain words.
 *
 * Every call opens its own connection, asks its few questions and closes it, so any thread may call at any
 * time. A call waits at most `patience` for each answer and then gives up with fault "print-unreachable";
 * nothing is ever looked for on the network. Passwords are never asked for.
 *
 * A CUPS job id alone does not identify a print: after a crash the scheduler may give the same id to another
 * job. Give each print a name of its own and look for it by that name. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_PRINT_H
#define ELLWAND_PRINT_PRINT_H

#include "common/fault.h"

#include <ellwand/length.h>

#include <stddef.h>

struct print_server {
    char name[256]; /* socket path ("/run/cups/cups.sock"), host, or host:port; "" is the system's own */
    int patience;   /* milliseconds, 100 to 60 000; 0 is 5 000 */
};

#define PRINT_NAME 128
#define PRINT_WORDS 256

/* ---- jobs ---- */

struct print_job {
    const char *queue;
    const char *name;           /* job-name: the caller's own id for this print, at most PRINT_NAME-1 bytes */
    ell_length width, height;   /* of the page that is printed; 0: the queue's own default */
    const unsigned char *bytes; /* a PDF */
    size_t count;
};

/* Hands the job over whole, in one request: after a true answer it is in the scheduler's spool with its
 * document, after a false one with another fault than "print-unreachable" it is not. After
 * "print-unreachable" it may be there or not; ask print_find before trying again. Faults:
 * "print-away" (nothing was sent: nobody answers there), "print-unreachable", "no-queue", "queue-refuses" (it takes no jobs now), "print-refused" (with CUPS's
 * words). */
bool print_submit(const struct print_server *server, const struct print_job *job, int *job_id,
                  struct fault *fault) MUST_CHECK;

/* Looks for the newest job of this name in the queue, waiting, running or over. *job_id is 0 when there is
 * none (or when the scheduler has already forgotten it: MaxJobs, 500 by default). */
bool print_find(const struct print_server *server, const char *queue, const char *name, int *job_id,
                struct fault *fault) MUST_CHECK;

enum print_state {
    PRINT_WAITING,  /* in the queue, behind others */
    PRINT_SENDING,  /* CUPS is taking it in or getting through to the printer */
    PRINT_PRINTING, /* the printer has it */
    PRINT_HELD,     /* somebody or something holds it back */
    PRINT_STOPPED,  /* cannot go on until somebody helps: out of labels, door open, printer away, queue paused
                     */
    PRINT_DONE,     /* the printer says that it is printed */
    PRINT_REFUSED,  /* the printer or CUPS gave it up; it may be in part on paper */
    PRINT_CANCELLED, /* somebody deleted it */
    PRINT_UNKNOWN /* over, but the printer lost track of it: a person must look before it is printed again */
};

/* "waiting", "sending", ... */
const char *print_state_name(enum print_state state);
/* True when nothing will change any more: done, refused, cancelled, unknown. */
bool print_state_over(enum print_state state);

struct print_status {
    enum print_state state;
    char name[PRINT_NAME];     /* job-name as the scheduler has it: compare before believing the id */
    char words[PRINT_WORDS];   /* what is the matter and what to do, "" when all is well */
    char reasons[PRINT_WORDS]; /* the printer's own keywords (RFC 8011, printer-state-reasons), comma between
                                  them */
    int pages_done;            /* pages that came out, as the printer reports; 0 when it does not */
    bool started;   /* CUPS began to send it to the printer: before that nothing of it is on paper */
    int times_done; /* how often the printer remembers to have printed it whole: a scheduler that is killed
                       while the printer has a job sends it again when it is back */
};

/* Where a job stands. Fault "no-job" when the queue does not know it. */
bool print_follow(const struct print_server *server, const char *queue, int job_id,
                  struct print_status *status, struct fault *fault) MUST_CHECK;

/* CUPS marks a queue whose printer lost track of a job (cups-ipp-missing-job-history) and never takes the mark away, so each
 * later job whose printer does not tell how it ended would come out as PRINT_UNKNOWN too. Takes it away; call it once the unknown job is put on record, and before the next
 * is submitted. Needs the rights of a CUPS administrator; fault "not-allowed" without them (a member of the group lpadmin, as a
 * rule, has them). */
bool print_clear_doubt(const struct print_server *server, const char *queue, struct fault *fault) MUST_CHECK;

/* Deletes a job; true also when it was already over. */
bool print_cancel(const struct print_server *server, const char *queue, int job_id,
                  struct fault *fault) MUST_CHECK;

/* ---- queues ---- */

enum print_queue_state { QUEUE_READY, QUEUE_BUSY, QUEUE_STOPPED, QUEUE_REFUSING };

enum { PRINT_MEDIA = 16, PRINT_SIZES = 64, PRINT_RESOLUTIONS = 8 };

struct print_size {
    ell_length width, height;
};

/* What is known of a queue's printer itself, past CUPS. */
enum print_printer {
    PRINTER_NOT_ASKED, /* it does not speak IPP, or nobody asked */
    PRINTER_SILENT,
    PRINTER_ANSWERS
};

struct print_queue {
    char name[PRINT_NAME];
    char model[PRINT_NAME];
    enum print_queue_state state;
    char words[PRINT_WORDS]; /* as in print_status */
    char reasons[PRINT_WORDS];
    int waiting;       /* jobs */
    int dots_per_inch; /* its default resolution, 0 when not told */
    int resolutions[PRINT_RESOLUTIONS];
    size_t resolution_count;
    bool takes_pdf;
    int most_copies; /* 0 when not told */
    bool turns;      /* prints landscape when asked to */
    struct print_size sizes[PRINT_SIZES];
    size_t size_count;
    struct print_size least, most; /* of custom sizes; 0 when it takes none */
    /* From the printer itself, by print_queue_read alone. */
    enum print_printer printer;
    bool printer_stops; /* it says that it cannot go on: out of labels, cover open */
    struct print_size loaded[PRINT_MEDIA];
    size_t loaded_count; /* 0 when it does not tell */
};

const char *print_queue_state_name(enum print_queue_state state);

/* One queue, and from its printer, where that speaks IPP, what is loaded and how it stands (for which it waits the patience once more). Fault "no-queue" when there is none of this name. */
bool print_queue_read(const struct print_server *server, const char *name, struct print_queue *queue,
                      struct fault *fault) MUST_CHECK;

/* All queues of the scheduler, by name, without what is loaded; *queues is malloc'ed (free it) and NULL when there are none. */
bool print_queue_list(const struct print_server *server, struct print_queue **queues, size_t *count,
                      struct fault *fault) MUST_CHECK;

enum print_fit { PRINT_FITS, PRINT_FITS_TURNED, PRINT_FITS_NOT };

/* Whether stock of this size (to 1 mm) is loaded, as asked for or a quarter turn from it. PRINT_FITS too when the printer does
 * not tell. */
enum print_fit print_queue_loaded(const struct print_queue *queue, ell_length width, ell_length height);
/* Whether the queue can print on stock of this size at all; PRINT_FITS too when it does not tell. */
enum print_fit print_queue_takes(const struct print_queue *queue, ell_length width, ell_length height);

/* The media keyword for a size (PWG 5101.1): "custom_label_100x50mm", "iso_a4_210x297mm". Returns `text`. */
char *print_media_name(ell_length width, ell_length height, char text[64]);

#endif
