/* The threads that print: one for each station. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/log.h"
#include "common/text.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

enum {
    STATIONS_MOST = 64,
    LOOK_MS = 2000 /* a station may have been made through another daemon */
};

struct station_thread {
    struct desk *desk;
    char station[64];
    pthread_t thread;
    bool started;
    bool ended; /* set by the thread, under the mutex */
    pthread_mutex_t *mutex;
};

struct print_workers {
    struct desk *desk;
    pthread_t thread;
    pthread_mutex_t mutex;
    struct station_thread stations[STATIONS_MOST];
    bool blind; /* the stations could not be read at the last look; said once, not at every look */
};

static void *serve(void *state) {
    struct station_thread *thread = state;
    print_station_serve(thread->desk, thread->station);
    pthread_mutex_lock(thread->mutex);
    thread->ended = true;
    pthread_mutex_unlock(thread->mutex);
    return NULL;
}

/* Joins those that ended by themselves, or all. */
static void join(struct print_workers *workers, bool all) {
    for (size_t i = 0; i < STATIONS_MOST; i++) {
        struct station_thread *thread = &workers->stations[i];
        pthread_mutex_lock(&workers->mutex);
        bool over = thread->started && (all || thread->ended);
        pthread_mutex_unlock(&workers->mutex);
        if (!over)
            continue;
        pthread_join(thread->thread, NULL);
        thread->started = false;
    }
}

static void start_station(struct print_workers *workers, const char *station) {
    struct station_thread *unused = NULL;
    for (size_t i = 0; i < STATIONS_MOST; i++) {
        struct station_thread *thread = &workers->stations[i];
        if (thread->started && strcmp(thread->station, station) == 0)
            return;
        if (!thread->started && unused == NULL)
            unused = thread;
    }
    if (unused == NULL) {
        log_line(LOG_LEVEL_ERROR, "station %s is not served: there are more than %d", station, STATIONS_MOST);
        return;
    }
    *unused = (struct station_thread){.desk = workers->desk, .mutex = &workers->mutex, .started = true};
    text_copy(unused->station, sizeof unused->station, station);
    if (pthread_create(&unused->thread, NULL, serve, unused) != 0) {
        unused->started = false;
        log_line(LOG_LEVEL_ERROR, "station %s is not served: its thread cannot be started", station);
    }
}

static void look(struct print_workers *workers) {
    struct fault fault;
    size_t index;
    json_t *station, *stations = print_stations(workers->desk, &fault);
    if (stations == NULL && !workers->blind)
        log_fault("stations not read; looking again until they are", &fault);
    workers->blind = stations == NULL;
    join(workers, false);
    json_array_foreach(stations, index, station) start_station(workers, json_string_value(station));
    json_decref(stations);
}

static void *work(void *state) {
    struct print_workers *workers = state;
    struct wake *wake = &workers->desk->printer_wake;
    struct fault fault;
    unsigned long heard = 0;
    look(workers);
    while (wake_wait(wake, &heard, LOOK_MS))
        look(workers);
    join(workers, true);
    if (!print_let_go(workers->desk, &fault))
        log_fault("print jobs left to their leases", &fault);
    return NULL;
}

bool print_workers_start(struct desk *desk, struct print_workers **workers, struct fault *fault) {
    struct print_workers *made = calloc(1, sizeof *made);
    if (made == NULL)
        return fault_memory(fault);
    made->desk = desk;
    pthread_mutex_init(&made->mutex, NULL);
    if (pthread_create(&made->thread, NULL, work, made) != 0) {
        pthread_mutex_destroy(&made->mutex);
        free(made);
        return fault_set(fault, "no-thread", "printing", "The print workers' thread cannot be started.");
    }
    *workers = made;
    return true;
}

void print_workers_stop(struct print_workers **workers) {
    if (*workers == NULL)
        return;
    pthread_join((*workers)->thread, NULL);
    pthread_mutex_destroy(&(*workers)->mutex);
    free(*workers);
    *workers = NULL;
}
