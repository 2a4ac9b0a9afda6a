/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/wire.h"

#include "wire/broker.h"
#include "wire/events.h"
#include "wire/zap.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

const struct wire_options wire_defaults = {.endpoint = "tcp://127.0.0.1:5577",
                                           .events_endpoint = "tcp://127.0.0.1:5578",
                                           .workers = 4,
                                           .queue = 256,
                                           .request_ms = 15000,
                                           .handshake_ms = 5000};

struct wire {
    void *context;
    struct wire_handlers handlers;
    struct zap zap;
    struct events events;
    struct broker broker;
    char plain_key_name[ELL_KEY_NAME_MAX + 1];
};

/* Reachable from this machine only. A name is not an address, so only figures count. */
static bool endpoint_local(const char *endpoint) {
    if (strncmp(endpoint, "tcp://127.", 10) == 0)
        return endpoint[10 + strspn(endpoint + 10, "0123456789.")] == ':';
    return strncmp(endpoint, "tcp://[::1]:", 12) == 0 || strncmp(endpoint, "ipc://", 6) == 0;
}

static bool check_plain(const struct wire_options *options, struct fault *fault) {
    const char *name = options->plain_key_name;
    if (!ell_word_valid(name, strlen(name), ELL_KEY_NAME_MAX))
        return fault_set(fault, "bad-option", "plain key name",
                         "A key's name is 1 to %d letters, digits, '.', '_' or '-'.", ELL_KEY_NAME_MAX);
    if (!endpoint_local(options->endpoint) || !endpoint_local(options->events_endpoint))
        return fault_set(fault, "bad-option", "endpoint",
                         "Without keys the daemon listens on a loopback address only (tcp://127.0.0.1:PORT). "
                         "Give it a key file, or a loopback address.");
    return true;
}

static bool check_number(const char *name, int64_t value, int64_t least, int64_t most, struct fault *fault) {
    return (value >= least && value <= most) ||
           fault_set(fault, "bad-option", name, "%lld is outside %lld to %lld.", (long long)value,
                     (long long)least, (long long)most);
}

static bool check_options(const struct wire_options *options, struct fault *fault) {
    char public_key[ELL_CURVE_TEXT];
    if (options->plain_key_name != NULL && !check_plain(options, fault))
        return false;
    if (options->plain_key_name == NULL &&
        (options->secret_key == NULL || strlen(options->secret_key) != ELL_CURVE_TEXT - 1 ||
         zmq_curve_public(public_key, options->secret_key) != 0))
        return fault_set(
            fault, "bad-option", "secret key",
            "The daemon's secret key must be 40 characters of Z85. Make one with: ellwand key new");
    return check_number("workers", options->workers, 1, WORKERS_MOST, fault) &&
           check_number("queue", options->queue, 1, 100000, fault) &&
           check_number("request_ms", options->request_ms, 100, 600000, fault) &&
           check_number("handshake_ms", options->handshake_ms, 100, 60000, fault);
}

static void failed(void *owner, const struct fault *fault) {
    struct wire *wire = owner;
    events_hush(&wire->events);
    wire->handlers.failed(wire->handlers.context, fault);
}

static bool start_parts(struct wire *wire, const struct wire_options *options, struct fault *fault) {
    const char *plain = options->plain_key_name == NULL ? NULL : wire->plain_key_name;
    wire->zap.context = wire->events.context = wire->broker.context = wire->context;
    wire->zap.handlers = wire->events.handlers = wire->broker.handlers = &wire->handlers;
    wire->zap.plain_key_name = plain;
    wire->events.options = options;
    wire->broker.options = *options;
    wire->broker.failed = failed;
    wire->broker.owner = wire;
    wire->broker.events_endpoint = wire->events.endpoint;
    return zap_start(&wire->zap, fault) && events_start(&wire->events, fault) &&
           broker_start(&wire->broker, fault);
}

bool wire_open(const struct wire_options *options, const struct wire_handlers *handlers, struct wire **wire,
               struct fault *fault) {
    if (!check_options(options, fault))
        return false;
    struct wire *made = calloc(1, sizeof *made);
    if (made == NULL)
        return fault_memory(fault);
    made->handlers = *handlers;
    if (options->plain_key_name != NULL)
        strncpy(made->plain_key_name, options->plain_key_name, ELL_KEY_NAME_MAX);
    made->context = zmq_ctx_new();
    bool good = made->context != NULL ? start_parts(made, options, fault) : fault_memory(fault);
    if (good)
        *wire = made;
    else
        wire_close(&made);
    return good;
}

const char *wire_endpoint(const struct wire *wire) {
    return wire->broker.endpoint;
}

const char *wire_events_endpoint(const struct wire *wire) {
    return wire->events.endpoint;
}

void wire_close(struct wire **wire) {
    struct wire *closing = *wire;
    *wire = NULL;
    if (closing == NULL)
        return;
    /* The ZAP handler goes last: as long as a server socket lives, somebody must check keys. */
    broker_stop(&closing->broker);
    events_stop(&closing->events);
    zap_stop(&closing->zap);
    while (closing->context != NULL && zmq_ctx_term(closing->context) != 0 && zmq_errno() == EINTR)
        continue;
    free(closing);
}
