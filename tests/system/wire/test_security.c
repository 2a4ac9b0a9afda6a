/* Who gets in, and who does not. SPDX-License-Identifier: Apache-2.0 */
#include "shop.h"

#include "wire/broker.h"
#include "wire/inside.h"
#include "wire/parts.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>
#include <zmq.h>

static enum ell_failure outcome(const struct shop *shop, const struct ell_key *key, const char *server_key) {
    struct ell_client *client = shop_client(shop, key, server_key, 1500);
    struct ell_error error = {0};
    char *reply = NULL;
    bool good = ell_client_call(client, "echo", NULL, "{}", 0, &reply, &error);
    free(reply);
    ell_client_close(&client);
    return good ? 0 : error.failure;
}

Test(security, only_the_known_key_gets_in) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    cr_assert_eq(outcome(&shop, &shop.known, shop.server.public_half), 0);
    cr_assert_eq(outcome(&shop, &shop.unknown, shop.server.public_half), ELL_KEY_REFUSED, "unknown key");
    cr_assert_eq(outcome(&shop, &shop.known, shop.unknown.public_half), ELL_UNREACHABLE, "wrong server key");
    cr_assert_eq(outcome(&shop, NULL, NULL), ELL_KEY_REFUSED, "no CURVE at all");
    cr_assert_eq(shop.answered, 1, "something got through to the desk");
    shop_close(&shop);
}

Test(security, a_refused_client_gets_in_once_its_key_is_known) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    struct ell_client *client = shop_client(&shop, &shop.unknown, shop.server.public_half, 2000);
    struct ell_error error = {0};
    char *reply = NULL;
    cr_assert(!ell_client_call(client, "echo", NULL, "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_KEY_REFUSED);
    shop.known = shop.unknown;
    cr_assert(ell_client_call(client, "echo", NULL, "{}", 0, &reply, &error), "%s", error.message);
    free(reply);
    ell_client_close(&client);
    shop_close(&shop);
}

/* While nobody can look keys up a client keeps trying, and is served as soon as somebody can. */
Test(security, waits_while_keys_cannot_be_looked_up) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 700);
    struct ell_error error = {0};
    char *reply = NULL;
    atomic_store(&shop.keys_unavailable, true);
    cr_assert(!ell_client_call(client, "echo", NULL, "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_UNREACHABLE, "%s", error.message);
    atomic_store(&shop.keys_unavailable, false);
    cr_assert(ell_client_call(client, "echo", NULL, "{}", 5000, &reply, &error), "%s", error.message);
    free(reply);
    ell_client_close(&client);
    shop_close(&shop);
}

Test(security, subscribers_need_a_key_too) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 2000);
    struct ell_error error = {0};
    char topic[ELL_TOPIC_MAX + 1], *json = NULL;
    cr_assert(ell_client_subscribe(client, "order", &error), "%s", error.message);
    atomic_store(&shop.events, 1);
    cr_assert(ell_client_event(client, 5000, topic, &json, &error), "%s", error.message);
    cr_assert_str_eq(topic, "order.taken");
    free(json);
    ell_client_close(&client);

    void *context = zmq_ctx_new(), *stranger = zmq_socket(context, ZMQ_SUB);
    int patience = 1500, none = 0;
    zmq_setsockopt(stranger, ZMQ_CURVE_SERVERKEY, shop.server.public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(stranger, ZMQ_CURVE_PUBLICKEY, shop.unknown.public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(stranger, ZMQ_CURVE_SECRETKEY, shop.unknown.secret, ELL_CURVE_TEXT);
    zmq_setsockopt(stranger, ZMQ_SUBSCRIBE, "", 0);
    zmq_setsockopt(stranger, ZMQ_RCVTIMEO, &patience, sizeof patience);
    zmq_setsockopt(stranger, ZMQ_LINGER, &none, sizeof none);
    cr_assert_eq(zmq_connect(stranger, wire_events_endpoint(shop.wire)), 0);
    atomic_store(&shop.events, 50);
    char byte;
    cr_assert_eq(zmq_recv(stranger, &byte, 1, 0), -1, "a stranger hears events");
    zmq_close(stranger);
    zmq_ctx_term(context);
    shop_close(&shop);
}

/* ZeroMQ lets every key in when nobody handles ZAP. The broker must then drop everything, unread and
 * unanswered. */
static bool never_answers(void *context, const struct wire_request *request, char **reply) {
    (void)request;
    atomic_fetch_add((atomic_int *)context, 1);
    *reply = strdup("{}");
    return true;
}

static void nobody_told(void *owner, const struct fault *fault) {
    (void)owner, (void)fault;
}

Test(security, without_a_zap_handler_nothing_is_heard) {
    atomic_int answered = 0;
    struct fault fault = {0};
    struct ell_error error = {0};
    struct ell_key server, any;
    cr_assert(ell_key_make("server", &server, &error) && ell_key_make("any", &any, &error));
    struct wire_handlers handlers = {.context = &answered, .answer = never_answers};
    struct broker broker = {.context = zmq_ctx_new(),
                            .handlers = &handlers,
                            .options = wire_defaults,
                            .events_endpoint = "",
                            .failed = nobody_told};
    broker.options.endpoint = "tcp://127.0.0.1:*";
    broker.options.secret_key = server.secret;
    cr_assert(broker_start(&broker, &fault), "%s", fault.message);
    struct ell_client_options options = {
        .endpoint = broker.endpoint, .server_key = server.public_half, .key = &any, .timeout_ms = 1000};
    struct ell_client *client = NULL;
    char *reply = NULL;
    cr_assert(ell_client_open(&options, &client, &error));
    cr_assert(!ell_client_call(client, "echo", NULL, "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_TIMEOUT,
                 "the handshake must have gone through, or this shows nothing: %s", error.message);
    cr_assert(!ell_client_call(client, "ping", NULL, "{}", 0, &reply, &error));
    cr_assert_eq(answered, 0);
    ell_client_close(&client);
    broker_stop(&broker);
    zmq_ctx_term(broker.context);
}

/* The handler dies (here: its context is told so from outside): the door shuts and the daemon is told. */
static atomic_int failures;

static void count_failure(void *owner, const struct fault *fault) {
    (void)owner;
    cr_assert_str_eq(fault->code, "broken");
    atomic_fetch_add(&failures, 1);
}

Test(security, the_daemon_stops_when_the_zap_handler_dies) {
    atomic_int answered = 0;
    struct fault fault = {0};
    struct ell_error error = {0};
    struct ell_key server;
    cr_assert(ell_key_make("server", &server, &error));
    struct wire_handlers handlers = {.context = &answered, .answer = never_answers};
    struct broker broker = {.context = zmq_ctx_new(),
                            .handlers = &handlers,
                            .options = wire_defaults,
                            .events_endpoint = "",
                            .failed = count_failure};
    broker.options.endpoint = "tcp://127.0.0.1:*";
    broker.options.secret_key = server.secret;
    cr_assert(broker_start(&broker, &fault), "%s", fault.message);
    tell(broker.context, BROKER_CONTROL, BROKER_ZAP_DIED);
    for (int64_t until = monotonic_ms() + 5000; atomic_load(&failures) == 0 && monotonic_ms() < until;)
        zmq_poll(NULL, 0, 10);
    cr_assert_eq(failures, 1);
    struct ell_client_options options = {.endpoint = broker.endpoint, .timeout_ms = 300};
    struct ell_client *client = NULL;
    char *reply = NULL;
    cr_assert(ell_client_open(&options, &client, &error));
    cr_assert(!ell_client_call(client, "ping", NULL, "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_UNREACHABLE);
    cr_assert_str_eq(error.code, "unreachable", "something still listens");
    ell_client_close(&client);
    broker_stop(&broker);
    zmq_ctx_term(broker.context);
}

static bool answer_name(void *context, const struct wire_request *request, char **reply) {
    (void)context;
    *reply = strdup(request->key_name);
    return true;
}

static bool no_event(void *context, int timeout_ms, char topic[ELL_TOPIC_MAX + 1], char **json) {
    (void)context, (void)topic, (void)json;
    zmq_poll(NULL, 0, timeout_ms);
    return false;
}

static bool opens(struct wire_options *options, struct fault *fault) {
    struct wire_handlers handlers = {.answer = answer_name, .event_next = no_event};
    struct wire *wire = NULL;
    bool good = wire_open(options, &handlers, &wire, fault);
    wire_close(&wire);
    return good;
}

Test(security, without_keys_only_on_loopback_and_when_asked) {
    struct fault fault = {0};
    struct wire_options options = wire_defaults;
    options.endpoint = options.events_endpoint = "tcp://127.0.0.1:*";
    cr_assert(!opens(&options, &fault), "no key was given and none asked for");
    cr_assert_str_eq(fault.where, "secret key");
    options.plain_key_name = "trial";
    static const char *const outside[] = {"tcp://0.0.0.0:*", "tcp://*:*", "tcp://192.0.2.1:5577",
                                          "tcp://[::]:*", "tcp://127.evil.example:1"};
    for (size_t i = 0; i < sizeof outside / sizeof outside[0]; i++) {
        options.endpoint = outside[i];
        cr_assert(!opens(&options, &fault), "%s was taken", outside[i]);
        cr_assert_str_eq(fault.code, "bad-option", "%s: %s", outside[i], fault.message);
    }
    options.endpoint = "tcp://127.0.0.1:*";
    options.events_endpoint = "tcp://0.0.0.0:*";
    cr_assert(!opens(&options, &fault));
    options.events_endpoint = "tcp://127.0.0.1:*";
    options.plain_key_name = "no name";
    cr_assert(!opens(&options, &fault));
}

Test(security, plain_peers_go_by_the_configured_name) {
    struct fault fault = {0};
    struct ell_error error = {0};
    struct wire *wire = NULL;
    struct wire_options options = wire_defaults;
    struct wire_handlers handlers = {.answer = answer_name, .event_next = no_event};
    options.endpoint = options.events_endpoint = "tcp://127.0.0.1:*";
    options.plain_key_name = "trial";
    cr_assert(wire_open(&options, &handlers, &wire, &fault), "%s", fault.message);
    struct ell_client_options own = {.endpoint = wire_endpoint(wire), .timeout_ms = 3000};
    struct ell_client *client = NULL;
    char *reply = NULL;
    cr_assert(ell_client_open(&own, &client, &error));
    cr_assert(ell_client_call(client, "who", NULL, NULL, 0, &reply, &error), "%s", error.message);
    cr_assert_str_eq(reply, "trial");
    free(reply);
    ell_client_close(&client);
    wire_close(&wire);
}
