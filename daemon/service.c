/* SPDX-License-Identifier: Apache-2.0 */
#include "service.h"

#include "common/log.h"
#include "common/text.h"
#include "desk/desk.h"
#include "label/label.h"
#include "store/store.h"
#include "wire/wire.h"

#include <ellwand/client.h>
#include <ellwand/version.h>
#include <errno.h>
#include <pthread.h>
#include <signal.h>
#include <string.h>
#include <systemd/sd-daemon.h>
#include <unistd.h>

static bool answer(void *context, const struct wire_request *request, char **reply) {
    struct desk_request asked = {.key_name = request->key_name,
                                 .verb = request->verb,
                                 .request_id = request->request_id,
                                 .body = request->body,
                                 .body_size = request->body_size,
                                 .deadline_ms = request->deadline_ms};
    return desk_answer(context, &asked, reply);
}

static enum wire_key key_known(void *context, const char public_key[ELL_CURVE_TEXT],
                               char name[ELL_KEY_NAME_MAX + 1]) {
    switch (desk_key_known(context, public_key, name)) {
    case DESK_KEY_KNOWN:
        return WIRE_KEY_KNOWN;
    case DESK_KEY_REFUSED:
        return WIRE_KEY_REFUSED;
    case DESK_KEY_LATER:
        break;
    }
    return WIRE_KEY_LATER;
}

static bool event_next(void *context, int timeout_ms, char topic[ELL_TOPIC_MAX + 1], char **json) {
    return desk_event_next(context, timeout_ms, topic, json);
}

/* The main thread waits for a signal, so the wire tells it by one. */
static void wire_failed(void *context, const struct fault *fault) {
    (void)context;
    log_fault("the sockets gave up", fault);
    kill(getpid(), SIGTERM);
}

static bool read_secret(const struct configuration *configuration, char secret[ELL_CURVE_TEXT],
                        struct fault *fault) {
    secret[0] = '\0';
    if (configuration->plain_key[0] != '\0')
        return true;
    struct ell_key key;
    struct ell_error error;
    if (!ell_key_read(configuration->key_file, &key, &error))
        return fault_set(fault, error.code, error.where, "%s", error.message);
    text_copy(secret, ELL_CURVE_TEXT, key.secret);
    explicit_bzero(&key, sizeof key);
    return secret[0] != '\0' ||
           fault_set(fault, "bad-key", configuration->key_file,
                     "The file holds no secret half; the daemon needs its own whole key.");
}

static bool open_wire(const struct configuration *configuration, struct desk *desk, struct wire **wire,
                      struct fault *fault) {
    char secret[ELL_CURVE_TEXT];
    if (!read_secret(configuration, secret, fault))
        return false;
    struct wire_options options = wire_defaults;
    options.endpoint = configuration->listen;
    options.events_endpoint = configuration->events;
    options.secret_key = secret[0] ? secret : NULL;
    options.plain_key_name = configuration->plain_key[0] ? configuration->plain_key : NULL;
    options.workers = configuration->workers;
    options.queue = configuration->queue;
    options.request_ms = configuration->request_timeout_ms;
    struct wire_handlers handlers = {desk, answer, key_known, event_next, wire_failed};
    bool good = wire_open(&options, &handlers, wire, fault);
    explicit_bzero(secret, sizeof secret);
    return good;
}

static void wait_for_signal(const sigset_t *ending) {
    int signal_number;
    while (sigwait(ending, &signal_number) != 0)
        ;
    log_line(LOG_LEVEL_NOTICE, "ending after signal %d", signal_number);
    sd_notify(0, "STOPPING=1");
    /* A second signal must not wait for us. */
    pthread_sigmask(SIG_UNBLOCK, ending, NULL);
}

/* What `run` needs of the file and of this machine. */
static bool prepare(const struct configuration *configuration, struct fault *fault) {
    enum log_level level;
    if (!log_level_named(configuration->log, &level))
        return fault_set(fault, "bad-configuration", "log", "log is one of error, notice, debug.");
    if (configuration->readable_by_all && store_conninfo_secret(configuration->database))
        return fault_set(
            fault, "bad-configuration", "database",
            "It holds a password, and everybody may read the file. Take that away with: chmod o= on the "
            "configuration, which belongs to the group of the service.");
    log_set_level(level);
    return label_fonts_check(fault);
}

static struct desk_options desk_options_of(const struct configuration *configuration) {
    return (struct desk_options){.database = configuration->database,
                                 .workshop = configuration->workshop,
                                 .connections = configuration->connections,
                                 .connect_timeout_ms = configuration->connect_timeout_ms,
                                 .statement_timeout_ms = configuration->statement_timeout_ms,
                                 .cups_server = configuration->cups_server};
}

bool service_check(const struct configuration *configuration, struct fault *fault) {
    char secret[ELL_CURVE_TEXT];
    struct desk_options options = desk_options_of(configuration);
    struct desk *desk = NULL;
    bool good = prepare(configuration, fault) && read_secret(configuration, secret, fault) &&
                desk_open(&options, &desk, fault);
    explicit_bzero(secret, sizeof secret);
    desk_close(&desk);
    return good;
}

bool service_run(const struct configuration *configuration, struct fault *fault) {
    if (!prepare(configuration, fault))
        return false;
    sigset_t ending;
    sigemptyset(&ending);
    sigaddset(&ending, SIGTERM);
    sigaddset(&ending, SIGINT);
    pthread_sigmask(SIG_BLOCK, &ending, NULL);
    signal(SIGPIPE, SIG_IGN);

    struct desk_options options = desk_options_of(configuration);
    struct desk *desk = NULL;
    struct wire *wire = NULL;
    if (!desk_open(&options, &desk, fault))
        return false;
    bool good = desk_start(desk, fault) && open_wire(configuration, desk, &wire, fault);
    if (good) {
        log_line(LOG_LEVEL_NOTICE, "ellwandd %s serves %s at %s, events at %s", ELL_VERSION,
                 configuration->workshop, wire_endpoint(wire), wire_events_endpoint(wire));
        sd_notify(0, "READY=1");
        wait_for_signal(&ending);
        wire_close(&wire);
    }
    desk_close(&desk);
    return good;
}
