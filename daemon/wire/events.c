/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/events.h"

#include "wire/inside.h"
#include "wire/parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* How soon a stop is noticed, and how often "alive" goes out, with the number of events sent so far. */
enum { WAIT_MS = 200, ALIVE_MS = 5000 };

static bool events_open(void *owner, struct fault *fault) {
    struct events *events = owner;
    struct socket_security security = {
        .secret_key = events->options->plain_key_name == NULL ? events->options->secret_key : NULL,
        .zap_domain = ZAP_DOMAIN,
        .handshake_ms = events->options->handshake_ms};
    events->socket = socket_serve(events->context, ZMQ_PUB, &security, events->options->events_endpoint,
                                  events->endpoint, fault);
    return events->socket != NULL;
}

static void send_event(struct events *events, const char *topic, const char *json) {
    send_bytes(events->socket, topic, strlen(topic), ZMQ_SNDMORE);
    send_bytes(events->socket, ELL_PROTOCOL, strlen(ELL_PROTOCOL), ZMQ_SNDMORE);
    send_bytes(events->socket, json, strlen(json), 0);
}

static void events_run(void *owner) {
    struct events *events = owner;
    int64_t alive_at = monotonic_ms();
    unsigned long long sent = 0;
    while (!atomic_load(&events->stopping)) {
        char topic[ELL_TOPIC_MAX + 1] = "", *json = NULL;
        if (events->handlers->event_next(events->handlers->context, WAIT_MS, topic, &json) && json != NULL &&
            ell_word_valid(topic, strnlen(topic, sizeof topic), ELL_TOPIC_MAX)) {
            send_event(events, topic, json);
            sent++;
        }
        free(json);
        if (monotonic_ms() >= alive_at) {
            char alive[64];
            snprintf(alive, sizeof alive, "{\"events\":%llu}", sent);
            send_event(events, "alive", alive);
            alive_at = monotonic_ms() + ALIVE_MS;
        }
    }
    zmq_close(events->socket);
}

bool events_start(struct events *events, struct fault *fault) {
    return service_start(&events->service, events_open, events_run, events, fault);
}

void events_hush(struct events *events) {
    atomic_store(&events->stopping, true);
}

void events_stop(struct events *events) {
    events_hush(events);
    service_join(&events->service);
}
