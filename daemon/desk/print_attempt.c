/* One step of one attempt at a print job. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/log.h"
#include "common/text.h"
#include "desk/print_ended.h"
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

static void goes_on(const char *state, int cups_job, int again_ms, const char *words,
                    struct print_outcome *outcome) {
    outcome->state = state;
    outcome->cups_job = cups_job;
    outcome->again_ms = again_ms;
    text_copy(outcome->words, sizeof outcome->words, words);
}

/* Asked back from the printer; what becomes of it is seen when CUPS says that it is over. */
static void take_back(const struct print_attempt *attempt, int cups_job, struct print_outcome *outcome) {
    struct fault fault;
    bool asked = print_cancel(&attempt->server, attempt->target, cups_job, &fault);
    goes_on("printing", cups_job, asked ? SOON_MS : LATER_MS,
            asked ? "is taken back from the printer" : fault.message, outcome);
}

static void follow_status(const struct print_attempt *attempt, int cups_job,
                          const struct print_status *status, struct print_outcome *outcome) {
    char words[400];
    outcome->cups_job = cups_job;
    if (print_state_over(status->state)) {
        print_ended(attempt, status, outcome);
    } else if (attempt->to_cancel || attempt->to_move) {
        take_back(attempt, cups_job, outcome);
    } else {
        snprintf(words, sizeof words, "%s", status->words);
        goes_on("printing", cups_job, status->state == PRINT_STOPPED ? LATER_MS : SOON_MS, words, outcome);
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
        print_hold(attempt, true, "The print server has forgotten this job.", outcome);
    else
        print_not_begun(attempt, outcome);
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

/* What is known of the drawn document goes with the job: where each label ends, and where the sheet is free. */
static void keep_layout(const struct print_attempt *attempt, const struct label_pdf *pdf,
                        struct print_outcome *outcome) {
    if (attempt->stock.columns > 0)
        outcome->free_place = pdf->free_place;
    if (pdf->ends == NULL)
        return;
    outcome->page_ends = json_array();
    for (size_t i = 0; i < pdf->label_count; i++)
        json_array_append_new(outcome->page_ends, json_integer(pdf->ends[i]));
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
        print_hold(attempt, false, fault.message, outcome);
    else
        wait_and_retry(attempt, fault.message, outcome);
    if (strcmp(outcome->state, "printing") == 0 || strcmp(outcome->state, "sending") == 0)
        keep_layout(attempt, pdf, outcome);
}

/* Single labels that lie across the printer's path are drawn turned, and bars and squares are whole dots of this printer. */
static void fit_to_printer(struct print_attempt *attempt) {
    const struct print_queue *queue = attempt->queue;
    struct label_stock *stock = &attempt->stock;
    if (queue->dots_per_inch >= 100 && queue->dots_per_inch <= 2400)
        stock->dots_per_inch = queue->dots_per_inch;
    if (stock->columns > 0)
        return;
    enum print_fit loaded = print_queue_loaded(queue, stock->width, stock->height);
    enum print_fit takes = print_queue_takes(queue, stock->width, stock->height);
    if (loaded == PRINT_FITS_TURNED || (takes == PRINT_FITS_TURNED && queue->loaded_count == 0)) {
        ell_length width = stock->width;
        stock->width = stock->height;
        stock->height = width;
    }
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

static void write_to_folder(const struct print_attempt *attempt, const struct label_pdf *pdf,
                            struct print_outcome *outcome) {
    struct fault fault;
    if (print_folder_write(attempt->target, attempt->name, pdf->bytes, pdf->count, &fault)) {
        goes_on("printed", 0, 0, "", outcome);
        keep_layout(attempt, pdf, outcome);
    } else {
        wait_and_retry(attempt, fault.message, outcome);
    }
}

static void send(struct print_attempt *attempt, struct print_outcome *outcome) {
    struct label_pdf pdf = {0};
    struct fault fault;
    if (!attempt->folder)
        fit_to_printer(attempt);
    if (!render(attempt, &pdf, &fault)) {
        char words[460];
        snprintf(words, sizeof words, "This cannot be drawn: %.120s: %.300s", fault.where, fault.message);
        print_hold(attempt, false, words, outcome);
        return;
    }
    if (pdf.missing > 0)
        log_line(LOG_LEVEL_NOTICE,
                 "print job %" PRId64 ": %u letters that no font here has are printed as U+FFFD; install a "
                 "font for their script",
                 attempt->job, pdf.missing);
    if (attempt->folder)
        write_to_folder(attempt, &pdf, outcome);
    else
        submit(attempt, &pdf, outcome);
    label_pdf_free(&pdf);
}

/* A file appears whole or not at all, but whoever empties the folder may have taken it. */
static void look_in_folder(const struct print_attempt *attempt, struct print_outcome *outcome) {
    if (print_folder_has(attempt->target, attempt->name))
        goes_on("printed", 0, 0, "", outcome);
    else
        print_hold(attempt, true,
                   "The service stopped just when this was written; the file may have been taken away since.",
                   outcome);
}

void print_attempt_step(struct print_attempt *attempt, struct print_outcome *outcome) {
    *outcome = (struct print_outcome){.cups_job = attempt->cups_job};
    if (attempt->folder && (attempt->resumed || attempt->sent))
        look_in_folder(attempt, outcome);
    else if (attempt->sent)
        follow(attempt, outcome);
    else if (attempt->resumed)
        look_for(attempt, outcome);
    else
        send(attempt, outcome);
}
