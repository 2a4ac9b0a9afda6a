/* Requests a second through the wire, against a bare ROUTER that echoes on one thread, both through CURVE on loopback and
 * in the same run: the ratio says what the queue, the workers and the checks cost.
 *
 *     wire [--seconds S] [--peers N] [--window N]
 *
 * Each of N peers keeps a window of requests under way; the small run has one peer and a window of one, so it measures
 * the round trip. A JSON line for each run.
 * SPDX-License-Identifier: Apache-2.0 */
#include "wire/wire.h"
#include "wire/inside.h"
#include "wire/parts.h"

#include <argp.h>
#include <ellwand/client.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PEERS_MOST = 64, BODY = 200 };

struct options {
    double seconds;
    int peers, window;
};

struct load {
    const char *endpoint;
    const struct ell_key *server, *own;
    int peers, window;
    int64_t until; /* monotonic milliseconds */
    atomic_llong done, wrong;
};

static bool echo(void *context, const struct wire_request *request, char **reply) {
    (void)context;
    *reply = strndup(request->body, request->body_size);
    return *reply != NULL;
}

static enum wire_key everybody(void *context, const char public_key[ELL_CURVE_TEXT],
                               char name[ELL_KEY_NAME_MAX + 1]) {
    (void)context, (void)public_key;
    snprintf(name, ELL_KEY_NAME_MAX + 1, "bench");
    return WIRE_KEY_KNOWN;
}

static bool no_event(void *context, int timeout_ms, char topic[ELL_TOPIC_MAX + 1], char **json) {
    (void)context, (void)topic, (void)json;
    zmq_poll(NULL, 0, timeout_ms);
    return false;
}

static void give_up(const char *what) {
    fprintf(stderr, "wire: %s\n", what);
    exit(1);
}

static void failed(void *context, const struct fault *fault) {
    (void)context;
    give_up(fault->message);
}

/* Each request has an id of its own, or it would be taken for the same one sent again. */
static void send_request(void *socket, const char *body) {
    static atomic_ullong number;
    char id[32];
    int length = snprintf(id, sizeof id, "r-%llu", atomic_fetch_add(&number, 1));
    zmq_send(socket, ELL_PROTOCOL, 8, ZMQ_SNDMORE);
    zmq_send(socket, "echo", 4, ZMQ_SNDMORE);
    zmq_send(socket, id, (size_t)length, ZMQ_SNDMORE);
    zmq_send(socket, body, BODY, 0);
}

static void *peer(void *argument) {
    struct load *load = argument;
    void *context = zmq_ctx_new(), *socket = zmq_socket(context, ZMQ_DEALER);
    int none = 0, patience = 2000;
    char body[BODY + 1];
    snprintf(body, sizeof body, "{\"text\":\"%0*d\"}", BODY - 11, 0);
    zmq_setsockopt(socket, ZMQ_LINGER, &none, sizeof none);
    zmq_setsockopt(socket, ZMQ_RCVTIMEO, &patience, sizeof patience);
    zmq_setsockopt(socket, ZMQ_CURVE_SERVERKEY, load->server->public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(socket, ZMQ_CURVE_PUBLICKEY, load->own->public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(socket, ZMQ_CURVE_SECRETKEY, load->own->secret, ELL_CURVE_TEXT);
    zmq_connect(socket, load->endpoint);
    for (int i = 0; i < load->window; i++)
        send_request(socket, body);
    struct parts reply;
    while (monotonic_ms() < load->until && parts_receive(socket, &reply, 0)) {
        atomic_fetch_add(&load->done, 1);
        if (parts_size(&reply, reply.kept - 1) != BODY)
            atomic_fetch_add(&load->wrong, 1);
        parts_close(&reply);
        send_request(socket, body);
    }
    zmq_close(socket);
    zmq_ctx_term(context);
    return NULL;
}

/* Requests a second of all peers together. */
static double drive(struct load *load, double seconds) {
    pthread_t threads[PEERS_MOST];
    int64_t begun = monotonic_ms();
    load->until = begun + (int64_t)(seconds * 1000);
    atomic_store(&load->done, 0);
    for (int i = 0; i < load->peers; i++)
        if (pthread_create(&threads[i], NULL, peer, load) != 0)
            give_up("a thread cannot be started");
    for (int i = 0; i < load->peers; i++)
        pthread_join(threads[i], NULL);
    if (atomic_load(&load->wrong) > 0)
        give_up("wrong replies");
    return (double)atomic_load(&load->done) * 1000 / (double)(monotonic_ms() - begun);
}

/* The bare echo. */
struct bare {
    void *context, *socket;
    char endpoint[256];
    atomic_bool stopping;
};

static void *bare_run(void *argument) {
    struct bare *bare = argument;
    struct parts message;
    while (!atomic_load(&bare->stopping)) {
        if (!parts_receive(bare->socket, &message, 0))
            continue;
        for (size_t i = 0; i < message.kept; i++)
            send_message(bare->socket, &message.messages[i], i + 1 < message.kept ? ZMQ_SNDMORE : 0);
        parts_close(&message);
    }
    zmq_close(bare->socket);
    return NULL;
}

static double measure_bare(struct load *load, double seconds) {
    struct bare bare = {.context = zmq_ctx_new()};
    struct socket_security security = {
        .secret_key = load->server->secret, .zap_domain = "bench", .handshake_ms = 5000};
    struct fault fault;
    pthread_t thread;
    bare.socket =
        socket_serve(bare.context, ZMQ_ROUTER, &security, "tcp://127.0.0.1:*", bare.endpoint, &fault);
    int patience = 100;
    if (bare.socket == NULL || zmq_setsockopt(bare.socket, ZMQ_RCVTIMEO, &patience, sizeof patience) != 0 ||
        pthread_create(&thread, NULL, bare_run, &bare) != 0)
        give_up("the bare echo cannot be started");
    load->endpoint = bare.endpoint;
    double rate = drive(load, seconds);
    atomic_store(&bare.stopping, true);
    pthread_join(thread, NULL);
    zmq_ctx_term(bare.context);
    return rate;
}

static double measure_wire(struct load *load, double seconds) {
    struct wire_handlers handlers = {
        .answer = echo, .key_known = everybody, .event_next = no_event, .failed = failed};
    struct wire_options options = wire_defaults;
    struct wire *wire = NULL;
    struct fault fault;
    options.endpoint = options.events_endpoint = "tcp://127.0.0.1:*";
    options.secret_key = load->server->secret;
    options.queue = 10000;
    if (!wire_open(&options, &handlers, &wire, &fault))
        give_up(fault.message);
    load->endpoint = wire_endpoint(wire);
    double rate = drive(load, seconds);
    wire_close(&wire);
    return rate;
}

static void compare(const char *run, const struct options *options, int peers, int window) {
    struct ell_key server, own;
    struct ell_error error;
    if (!ell_key_make("server", &server, &error) || !ell_key_make("bench", &own, &error))
        give_up(error.message);
    struct load load = {.server = &server, .own = &own, .peers = peers, .window = window};
    double bare = measure_bare(&load, options->seconds), wire = measure_wire(&load, options->seconds);
    printf("{\"run\":\"%s\",\"peers\":%d,\"window\":%d,\"body_bytes\":%d,\"bare_per_s\":%.0f,\"wire_per_s\":%"
           ".0f,"
           "\"ratio\":%.2f}\n",
           run, peers, window, BODY, bare, wire, wire / bare);
    fflush(stdout);
}

static error_t take_option(int key, char *value, struct argp_state *state) {
    struct options *options = state->input;
    double number = value != NULL ? strtod(value, NULL) : 0;
    switch (key) {
    case 's':
        options->seconds = number;
        break;
    case 'p':
        options->peers = (int)number;
        break;
    case 'w':
        options->window = (int)number;
        break;
    default:
        return ARGP_ERR_UNKNOWN;
    }
    if (!(number > 0) || options->peers > PEERS_MOST || options->window > 32 || options->seconds > 3600)
        argp_error(state, "seconds to 3600, peers to %d, window to 32", PEERS_MOST);
    return 0;
}

int main(int count, char **words) {
    static const struct argp_option known[] = {
        {"seconds", 's', "S", 0, "For each of the four measurements; 2", 0},
        {"peers", 'p', "N", 0, "In the large run; 8", 0},
        {"window", 'w', "N", 0, "Requests that a peer keeps under way; 16", 0},
        {0}};
    static const struct argp argp = {
        known, take_option, NULL, "Requests a second through the wire and through a bare echo.",
        NULL,  NULL,        NULL};
    struct options options = {.seconds = 2, .peers = 8, .window = 16};
    argp_parse(&argp, count, words, 0, NULL, &options);
    compare("round-trip", &options, 1, 1);
    compare("load", &options, options.peers, options.window);
    return 0;
}
