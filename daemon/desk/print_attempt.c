/* One step of one attempt at a print job. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/text.h"
#include "desk/print_folder.h"
#include "label/sheet.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { SOON_MS = 300, LATER_MS = 1000, LONGEST_WAIT_MS = 15000 };

/* Nothing went to a printer: after 1, 2, 4, 8 and then every 15 seconds it is tried again. */
static void wait_and_retry(const struct print_attempt *attempt, const char *words,
                           struct print_outcome *outcome) {
    int wait = attempt->number > 4 ? LONGEST_WAIT_MS : 500 << attempt->number;
    outcome->state = "queued";
    outcome->cups_job = 0;
    outcome->again_ms = wait;
    text_copy(outcome->words, sizeof outcome->words, words);
}

static void hold(const struct print_attempt *attempt, int cups_job, const char *words,
                 struct print_outcome *outcome) {
    outcome->state = "held";
    outcome->cups_job = cups_job;
    outcome->again_ms = 0;
    snprintf(outcome->words, sizeof outcome->words,
             "%.460s Then: `ellwand print retry %" PRId64 "` to print it, or `ellwand print done %" PRId64
             "` when the labels are there.",
             words, attempt->job, attempt->job);
}

static void goes_on(const char *state, int cups_job, int again_ms, const char *words,
                    struct print_outcome *outcome) {
    outcome->state = state;
    outcome->cups_job = cups_job;
    outcome->again_ms = again_ms;
    text_copy(outcome->words, sizeof outcome->words, words);
}

static void follow_status(const struct print_attempt *attempt, int cups_job,
                          const struct print_status *status, struct print_outcome *outcome) {
    char words[400];
    switch (status->state) {
    case PRINT_DONE:
        goes_on("printed", cups_job, 0, "", outcome);
        break;
    case PRINT_REFUSED:
    case PRINT_CANCELLED:
    case PRINT_UNKNOWN:
        snprintf(words, sizeof words, "%s Look whether labels came out.",
                 status->words[0] != '\0' ? status->words : "The printer gave it up.");
        hold(attempt, cups_job, words, outcome);
        break;
    default:
        goes_on("printing", cups_job, status->state == PRINT_STOPPED ? LATER_MS : SOON_MS, status->words,
                outcome);
    }
}

/* The attempt was sent, or may have been: find it by its name and see. */
static void look_for(const struct print_attempt *attempt, struct print_outcome *outcome) {
    const char *state = attempt->sent ? "printing" : "sending";
    struct print_status status;
    struct fault fault;
    int cups_job = 0;
    if (!print_find(&attempt->server, attempt->target, attempt->name, &cups_job, &fault) ||
        (cups_job != 0 && !print_follow(&attempt->server, attempt->target, cups_job, &status, &fault)))
        goes_on(state, attempt->cups_job, LATER_MS, fault.message, outcome);
    else if (cups_job != 0)
        follow_status(attempt, cups_job, &status, outcome);
    else if (attempt->sent)
        hold(attempt, attempt->cups_job,
             "The print server has forgotten this job. Look whether its labels came out.", outcome);
    else
        goes_on("queued", 0, 0, "it did not reach the print server", outcome);
}

static void follow(const struct print_attempt *attempt, struct print_outcome *outcome) {
    struct print_status status;
    struct fault fault;
    bool told = attempt->cups_job != 0 &&
                print_follow(&attempt->server, attempt->target, attempt->cups_job, &status, &fault);
    if (told && strcmp(status.name, attempt->name) == 0)
        follow_status(attempt, attempt->cups_job, &status, outcome);
    else
        look_for(attempt, outcome);
}

static void submit(const struct print_attempt *attempt, const struct label_pdf *pdf,
                   struct print_outcome *outcome) {
    struct print_job job = {.queue = attempt->target,
                            .name = attempt->name,
                            .width = label_stock_page_width(&attempt->stock),
                            .height = label_stock_page_height(&attempt->stock),
                            .bytes = pdf->bytes,
                            .count = pdf->count};
    struct fault fault;
    int cups_job = 0;
    if (print_submit(&attempt->server, &job, &cups_job, &fault))
        goes_on("printing", cups_job, SOON_MS, "", outcome);
    else if (strcmp(fault.code, "print-unreachable") == 0)
        goes_on("sending", 0, LATER_MS, fault.message, outcome); /* it may be there: look_for comes next */
    else if (strcmp(fault.code, "print-refused") == 0)
        hold(attempt, 0, fault.message, outcome);
    else
        wait_and_retry(attempt, fault.message, outcome);
}

/* A printer that is away, takes no jobs, or has other labels in it: the job waits here and says why. */
static bool printer_is_ready(const struct print_attempt *attempt, struct print_outcome *outcome) {
    struct print_queue queue;
    struct fault fault;
    if (!print_queue_read(&attempt->server, attempt->target, &queue, &fault)) {
        wait_and_retry(attempt, fault.message, outcome);
        return false;
    }
    if (queue.state == QUEUE_REFUSING) {
        wait_and_retry(attempt, queue.words, outcome);
        return false;
    }
    if (!print_queue_loaded(&queue, label_stock_page_width(&attempt->stock),
                            label_stock_page_height(&attempt->stock))) {
        char words[256];
        snprintf(words, sizeof words, "The printer has other labels in it; load %s.", attempt->stock.name);
        wait_and_retry(attempt, words, outcome);
        return false;
    }
    return true;
}

/* A cut sheet is drawn on A4 whatever the station has; on anything else it would be cut off. */
static bool render_sheet(const struct print_attempt *attempt, struct label_pdf *pdf, struct fault *fault) {
    if (label_stock_page_width(&attempt->stock) != label_stock_a4.width ||
        label_stock_page_height(&attempt->stock) != label_stock_a4.height)
        return fault_set(fault, "wrong-stock", attempt->stock.name,
                         "A %s wants A4 paper; give its station a stock of that size.", attempt->kind);
    return sheet_render(attempt->kind, json_array_get(attempt->payload, 0), pdf, fault);
}

static bool render(const struct print_attempt *attempt, struct label_pdf *pdf, struct fault *fault) {
    return strcmp(attempt->kind, "cut-sheet") == 0
               ? render_sheet(attempt, pdf, fault)
               : label_render(attempt->kind, &attempt->stock, attempt->payload, pdf, fault);
}

static void send(const struct print_attempt *attempt, struct print_outcome *outcome) {
    struct label_pdf pdf = {0};
    struct fault fault;
    if (!attempt->folder && !printer_is_ready(attempt, outcome))
        return;
    if (!render(attempt, &pdf, &fault)) {
        char words[460];
        snprintf(words, sizeof words, "This cannot be drawn: %.120s: %.300s", fault.where, fault.message);
        hold(attempt, 0, words, outcome);
        return;
    }
    if (!attempt->folder)
        submit(attempt, &pdf, outcome);
    else if (print_folder_write(attempt->target, attempt->name, pdf.bytes, pdf.count, &fault))
        goes_on("printed", 0, 0, "", outcome);
    else
        wait_and_retry(attempt, fault.message, outcome);
    label_pdf_free(&pdf);
}

/* A file appears whole or not at all, but whoever empties the folder may have taken it. */
static void look_in_folder(const struct print_attempt *attempt, struct print_outcome *outcome) {
    if (print_folder_has(attempt->target, attempt->name))
        goes_on("printed", 0, 0, "", outcome);
    else
        hold(attempt, 0, "The service stopped just when this was written. Look whether the file was taken.",
             outcome);
}

void print_attempt_step(struct print_attempt *attempt, struct print_outcome *outcome) {
    *outcome = (struct print_outcome){0};
    if (attempt->folder && (attempt->resumed || attempt->sent))
        look_in_folder(attempt, outcome);
    else if (attempt->sent)
        follow(attempt, outcome);
    else if (attempt->resumed)
        look_for(attempt, outcome);
    else
        send(attempt, outcome);
}
