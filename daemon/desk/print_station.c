/* One station: how its printer stands, and its jobs one after the other. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/log.h"
#include "common/text.h"

#include <stdio.h>
#include <string.h>

enum {
    STEPS_A_ROUND = 16,
    BUSY_MS = 200, /* between rounds while a job is on its way */
    IDLE_MS = 1500 /* else; also the age at which what is known of the printer is asked anew */
};

struct station {
    struct desk *desk;
    const char *name;
    char queue_name[PRINT_NAME];
    struct label_stock stock;
    struct print_queue queue;
    int64_t asked_at; /* 0: not yet */
    bool heard;       /* its printer answered once: when it is silent now, it is away */
    bool ready;       /* it can print what is sent to it */
    char words[PRINT_WORDS];
    bool blind; /* the database was not read at the last look; said once, not at every look */
};

static void say(struct station *station, bool ready, const char *words) {
    station->ready = ready;
    text_copy(station->words, sizeof station->words, words);
}

static char *size_text(const struct print_size *size, char text[64]) {
    char across[ELL_LENGTH_TEXT], along[ELL_LENGTH_TEXT];
    snprintf(text, 64, "%s x %s mm", ell_length_text(size->width, across),
             ell_length_text(size->height, along));
    return text;
}

static void say_wrong_stock(struct station *station) {
    char loaded[64], wanted[64];
    struct print_size stock = {label_stock_page_width(&station->stock),
                               label_stock_page_height(&station->stock)};
    snprintf(station->words, sizeof station->words, "The printer has %s in it; load %.60s (%s).",
             size_text(&station->queue.loaded[0], loaded), station->stock.name, size_text(&stock, wanted));
    station->ready = false;
}

/* A printer that cannot print now leaves its jobs here, where they can still be moved or given up. A paused queue is left to
 * CUPS: somebody wanted it so. */
static void judge(struct station *station) {
    struct print_queue *queue = &station->queue;
    ell_length width = label_stock_page_width(&station->stock);
    ell_length height = label_stock_page_height(&station->stock);
    station->heard = station->heard || queue->printer == PRINTER_ANSWERS;
    if (queue->printer == PRINTER_SILENT && station->heard && queue->state != QUEUE_REFUSING)
        say(station, false, "The printer cannot be reached. Switch it on and check its cable or network.");
    else if (queue->state == QUEUE_REFUSING || queue->printer_stops)
        say(station, false, queue->words);
    else if (print_queue_loaded(queue, width, height) == PRINT_FITS_NOT)
        say_wrong_stock(station);
    else
        say(station, true, queue->words);
}

static void ask_printer(struct station *station) {
    struct print_server server = {.patience = PRINT_PATIENCE_MS};
    struct fault fault;
    text_copy(server.name, sizeof server.name, station->desk->cups_server);
    if (print_queue_read(&server, station->queue_name, &station->queue, &fault))
        judge(station);
    else
        say(station, false, fault.message);
    station->asked_at = desk_now_ms();
}

static void note(const struct station *station, const json_t *row) {
    struct fault fault;
    const char *before = json_string_value(json_object_get(row, "message"));
    if (before != NULL && strcmp(before, station->words) == 0 && !json_is_true(json_object_get(row, "stale")))
        return;
    if (!print_station_seen(station->desk, station->name, station->words, &fault))
        log_fault("station not noted", &fault);
}

static void look_at_printer(struct station *station, const json_t *row) {
    const char *queue = json_string_value(json_object_get(row, "queue"));
    struct fault fault;
    if (strcmp(queue != NULL ? queue : "", station->queue_name) != 0) {
        text_copy(station->queue_name, sizeof station->queue_name, queue != NULL ? queue : "");
        station->heard = false;
        station->asked_at = 0;
    }
    if (!label_stock_read(json_object_get(row, "stock"), "label_stock", &station->stock, &fault))
        say(station, false, fault.message);
    else if (queue == NULL)
        say(station, true, "");
    else if (station->asked_at == 0 || desk_now_ms() - station->asked_at >= IDLE_MS - 100)
        ask_printer(station);
    else if (station->queue.name[0] != '\0')
        judge(station); /* the stock may be another one */
    note(station, row);
}

static void clear_doubt(const struct print_attempt *attempt) {
    struct fault fault;
    if (!print_clear_doubt(&attempt->server, attempt->target, &fault))
        log_fault("the queue keeps its mark of a lost job, so later jobs may be doubted as well", &fault);
}

/* True when there was something to do. */
static bool do_next(struct station *station) {
    struct print_attempt attempt;
    struct print_outcome outcome;
    struct fault fault;
    bool claimed;
    if (!print_claim(station->desk, station->name, station->ready, &attempt, &claimed, &fault)) {
        log_fault("print job not claimed", &fault);
        return false;
    }
    if (!claimed)
        return false;
    attempt.queue = attempt.folder ? NULL : &station->queue;
    print_attempt_step(&attempt, &outcome);
    if (!print_settle(&attempt, &outcome, &fault))
        log_fault("print job left to its lease", &fault);
    else if (outcome.clear_doubt)
        clear_doubt(&attempt);
    json_decref(outcome.page_ends);
    print_attempt_free(&attempt);
    return true;
}

/* False when the station is gone; *busy tells whether it has jobs on their way. */
static bool serve(struct station *station, bool *busy) {
    struct fault fault;
    int done = 0;
    json_t *row = print_station(station->desk, station->name, &fault);
    if (row == NULL && !station->blind)
        log_fault("station not read; looking again until it is", &fault);
    station->blind = row == NULL;
    bool there = row == NULL || json_is_object(row);
    if (json_is_object(row)) {
        look_at_printer(station, row);
        bool waits = json_is_true(json_object_get(row, "waits")) && station->ready;
        *busy = waits || json_is_true(json_object_get(row, "moves"));
        while (*busy && done < STEPS_A_ROUND && !wake_is_closing(&station->desk->printer_wake) &&
               do_next(station))
            done++;
    }
    json_decref(row);
    return there;
}

void print_station_serve(struct desk *desk, const char *name) {
    struct station station = {.desk = desk, .name = name};
    unsigned long heard = 0;
    bool busy = false;
    while (serve(&station, &busy) && wake_wait(&desk->printer_wake, &heard, busy ? BUSY_MS : IDLE_MS))
        busy = false;
}
