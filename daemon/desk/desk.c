/* Opening and closing, keys and events. SPDX-License-Identifier: Apache-2.0 */
#include "desk/desk.h"

#include "common/text.h"
#include "desk/inner.h"
#include "store/migrate.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

int64_t desk_now_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void name_instance(struct desk *desk) {
    char host[32] = "host";
    gethostname(host, sizeof host - 1);
    snprintf(desk->instance, sizeof desk->instance, "%s-%ld-%ld", host, (long)getpid(), (long)time(NULL));
}

static bool find_workshop(struct desk *desk, const char *name, struct fault *fault) {
    struct store_session *session = store_borrow(desk->store, desk_now_ms() + 10000, fault);
    if (session == NULL)
        return false;
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_text(&values, name);
    bool good = store_run(session, &query_workshop_find, &values, &rows, fault);
    if (good && rows_count(&rows) != 1)
        good = fault_set(fault, "unknown-workshop", name,
                         "The database has no workshop of this name; make it with `ellwandd workshop`.");
    if (good)
        desk->workshop = rows_integer(&rows, 0, 0);
    rows_free(&rows);
    store_return(desk->store, &session);
    return good;
}

static bool open_parts(struct desk *desk, const struct desk_options *options, struct fault *fault) {
    struct store_options store = {.conninfo = options->database,
                                  .connections = options->connections,
                                  .connect_timeout_ms = options->connect_timeout_ms,
                                  .statement_timeout_ms = options->statement_timeout_ms};
    if (desk->catalogues == NULL)
        return fault_memory(fault);
    return store_open(&store, &desk->store, fault) && migrate_check(desk->store, fault) &&
           find_workshop(desk, options->workshop, fault) &&
           store_listen(desk->store, "ellwand_event", &desk->listener, fault);
}

bool desk_open(const struct desk_options *options, struct desk **desk, struct fault *fault) {
    struct desk *made = calloc(1, sizeof *made);
    if (made == NULL)
        return fault_memory(fault);
    text_copy(made->workshop_name, sizeof made->workshop_name, options->workshop);
    text_copy(made->cups_server, sizeof made->cups_server, options->cups_server);
    name_instance(made);
    wake_init(&made->planner_wake);
    wake_init(&made->printer_wake);
    made->catalogues = catalogue_cache_new();
    if (!open_parts(made, options, fault)) {
        desk_close(&made);
        return false;
    }
    *desk = made;
    return true;
}

bool desk_start(struct desk *desk, struct fault *fault) {
    return planner_start(desk, &desk->planner, fault) &&
           print_workers_start(desk, &desk->print_workers, fault);
}

void desk_close(struct desk **desk) {
    struct desk *closing = *desk;
    if (closing == NULL)
        return;
    wake_close(&closing->planner_wake);
    wake_close(&closing->printer_wake);
    planner_stop(&closing->planner);
    print_workers_stop(&closing->print_workers);
    store_unlisten(&closing->listener);
    store_close(&closing->store);
    catalogue_cache_free(&closing->catalogues);
    wake_destroy(&closing->planner_wake);
    wake_destroy(&closing->printer_wake);
    free(closing);
    *desk = NULL;
}

/* Asks the store alone. */
static enum desk_key ask_for_key(struct desk *desk, const char *public_key, char name[64]) {
    struct fault fault;
    struct store_session *session = store_borrow(desk->store, desk_now_ms() + 3000, &fault);
    if (session == NULL)
        return DESK_KEY_LATER;
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, desk->workshop);
    store_text(&values, public_key);
    bool asked = store_run(session, &query_key_known, &values, &rows, &fault);
    bool known = asked && rows_count(&rows) == 1;
    if (known)
        text_copy(name, 64, rows_text(&rows, 0, 0));
    rows_free(&rows);
    store_return(desk->store, &session);
    return known ? DESK_KEY_KNOWN : asked ? DESK_KEY_REFUSED : DESK_KEY_LATER;
}

enum desk_key desk_key_known(struct desk *desk, const char *public_key, char name[64]) {
    enum desk_key key = ask_for_key(desk, public_key, name);
    switch (key) {
    case DESK_KEY_KNOWN:
        keys_remember(&desk->known_keys, public_key, name);
        break;
    case DESK_KEY_REFUSED:
        keys_forget(&desk->known_keys, public_key);
        break;
    case DESK_KEY_LATER:
        return keys_recall(&desk->known_keys, public_key, name) ? DESK_KEY_KNOWN : DESK_KEY_LATER;
    }
    return key;
}

/* The payload is {"workshop":id,"topic":"..","at":"..","body":{..}}; only our own workshop's events go out.
 */
static bool open_event(const struct desk *desk, const char *payload, char topic[64], char **body) {
    json_t *event = json_loads(payload, 0, NULL);
    const char *name = json_string_value(json_object_get(event, "topic"));
    bool ours = name != NULL && json_integer_value(json_object_get(event, "workshop")) == desk->workshop;
    *body = NULL;
    if (ours) {
        text_copy(topic, 64, name);
        json_object_del(event, "workshop");
        *body = json_dumps(event, DOCUMENT_COMPACT);
    }
    json_decref(event);
    return *body != NULL;
}

bool desk_event_next(struct desk *desk, int timeout_ms, char topic[64], char **body) {
    char payload[8192];
    return store_listen_next(desk->listener, timeout_ms, payload, sizeof payload) &&
           open_event(desk, payload, topic, body);
}
