/* The thread that prints. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/log.h"
#include "common/text.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

enum {
    STEPS_A_ROUND = 16, /* at one station before the next has its turn */
    BUSY_MS = 200,      /* between rounds while a job is on its way */
    IDLE_MS = 2000      /* else: another daemon may have queued something, or a wait is over */
};

struct print_workers {
    struct desk *desk;
    pthread_t thread;
    bool blind; /* the stations could not be read at the last look; said once, not at every look */
};

static bool said_before(const json_t *station, const char *words) {
    const char *message = json_string_value(json_object_get(station, "message"));
    return message != NULL && strcmp(message, words) == 0;
}

/* Ten seconds old at most, and sooner when something changes. */
static void note_station(struct desk *desk, const json_t *station, const char *words) {
    struct fault fault;
    if (said_before(station, words) && !json_is_true(json_object_get(station, "stale")))
        return;
    if (!print_station_seen(desk, json_string_value(json_object_get(station, "station")), words, &fault))
        log_fault("station not noted", &fault);
}

static void ask_printer(struct desk *desk, const json_t *station) {
    const char *queue_name = json_string_value(json_object_get(station, "queue"));
    struct print_server server = {.patience = PRINT_PATIENCE_MS};
    struct print_queue queue;
    struct fault fault;
    text_copy(server.name, sizeof server.name, desk->cups_server);
    if (queue_name == NULL)
        note_station(desk, station, "");
    else if (print_queue_read(&server, queue_name, &queue, &fault))
        note_station(desk, station, queue.words);
    else
        note_station(desk, station, fault.message);
}

/* True when there was something to do. */
static bool do_next(struct desk *desk, const char *station) {
    struct print_attempt attempt;
    struct print_outcome outcome;
    struct fault fault;
    bool claimed;
    if (!print_claim(desk, station, &attempt, &claimed, &fault)) {
        log_fault("print job not claimed", &fault);
        return false;
    }
    if (!claimed)
        return false;
    print_attempt_step(&attempt, &outcome);
    if (!print_settle(&attempt, &outcome, &fault))
        log_fault("print job left to its lease", &fault);
    print_attempt_free(&attempt);
    return true;
}

/* True when the station has jobs on their way. */
static bool serve_station(struct desk *desk, const json_t *station) {
    const char *name = json_string_value(json_object_get(station, "station"));
    int done = 0;
    if (json_is_true(json_object_get(station, "stale")))
        ask_printer(desk, station);
    while (done < STEPS_A_ROUND && !wake_is_closing(&desk->printer_wake) && do_next(desk, name))
        done++;
    return done > 0;
}

static bool serve_all(struct print_workers *workers) {
    struct desk *desk = workers->desk;
    struct fault fault;
    bool busy = false;
    size_t index;
    json_t *station, *stations = print_stations(desk, &fault);
    if (stations == NULL && !workers->blind)
        log_fault("stations not read; looking again until they are", &fault);
    workers->blind = stations == NULL;
    json_array_foreach(stations, index, station) {
        if (wake_is_closing(&desk->printer_wake))
            break;
        busy |= serve_station(desk, station);
    }
    json_decref(stations);
    return busy;
}

static void *work(void *state) {
    struct print_workers *workers = state;
    struct wake *wake = &workers->desk->printer_wake;
    struct fault fault;
    unsigned long heard = 0;
    bool busy = true;
    while (wake_wait(wake, &heard, busy ? BUSY_MS : IDLE_MS))
        busy = serve_all(workers);
    if (!print_let_go(workers->desk, &fault))
        log_fault("print jobs left to their leases", &fault);
    return NULL;
}

bool print_workers_start(struct desk *desk, struct print_workers **workers, struct fault *fault) {
    struct print_workers *made = calloc(1, sizeof *made);
    if (made == NULL)
        return fault_memory(fault);
    made->desk = desk;
    if (pthread_create(&made->thread, NULL, work, made) != 0) {
        free(made);
        return fault_set(fault, "no-thread", "printing", "The print worker's thread cannot be started.");
    }
    *workers = made;
    return true;
}

void print_workers_stop(struct print_workers **workers) {
    if (*workers == NULL)
        return;
    pthread_join((*workers)->thread, NULL);
    free(*workers);
    *workers = NULL;
}
