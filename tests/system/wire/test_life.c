/* Many clients, restarts, and the end. SPDX-License-Identifier: Apache-2.0 */
#include "shop.h"

#include "wire/inside.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zmq.h>

struct caller {
    const struct shop *shop;
    const char *endpoint;
    int number, calls, wrong;
};

/* Each asks again and again and must get its own answers. */
static void *call_often(void *argument) {
    struct caller *caller = argument;
    struct ell_client_options options = {.endpoint = caller->endpoint,
                                         .server_key = caller->shop->server.public_half,
                                         .key = &caller->shop->known,
                                         .timeout_ms = 30000};
    struct ell_client *client = NULL;
    struct ell_error error;
    if (!ell_client_open(&options, &client, &error))
        return NULL;
    for (int i = 0; i < caller->calls; i++) {
        char body[64], *reply = NULL;
        snprintf(body, sizeof body, "{\"client\":%d,\"call\":%d}", caller->number, i);
        if (!ell_client_call(client, "echo", NULL, body, 0, &reply, &error) || strcmp(reply, body) != 0)
            caller->wrong++;
        free(reply);
    }
    ell_client_close(&client);
    return NULL;
}

Test(life, sixty_four_clients_at_once) {
    enum { CLIENTS = 64, CALLS = 20 };
    struct shop shop;
    shop_open(&shop, 4, 256, 20000);
    pthread_t threads[CLIENTS];
    struct caller callers[CLIENTS];
    for (int i = 0; i < CLIENTS; i++) {
        callers[i] =
            (struct caller){.shop = &shop, .endpoint = wire_endpoint(shop.wire), .number = i, .calls = CALLS};
        cr_assert_eq(pthread_create(&threads[i], NULL, call_often, &callers[i]), 0);
    }
    for (int i = 0; i < CLIENTS; i++) {
        pthread_join(threads[i], NULL);
        cr_assert_eq(callers[i].wrong, 0, "client %d: %d wrong", i, callers[i].wrong);
    }
    cr_assert_geq(shop.answered, CLIENTS * CALLS);
    shop_close(&shop);
}

struct restarting {
    const struct shop *shop;
    char endpoint[256];
    int calls, failed, counted;
};

/* Every call must be counted exactly once, however often the daemon comes and goes. */
static void *count_through_restarts(void *argument) {
    static const char counted[] = "{\"count\":";
    struct restarting *work = argument;
    struct ell_client_options options = {.endpoint = work->endpoint,
                                         .server_key = work->shop->server.public_half,
                                         .key = &work->shop->known,
                                         .timeout_ms = 20000};
    struct ell_client *client = NULL;
    struct ell_error error;
    if (!ell_client_open(&options, &client, &error))
        return NULL;
    for (int i = 0; i < work->calls; i++) {
        char *reply = NULL;
        if (!ell_client_call(client, "count", NULL, NULL, 0, &reply, &error)) {
            fprintf(stderr, "call %d: %s: %s\n", i, error.code, error.message);
            work->failed++;
        } else if (strncmp(reply, counted, sizeof counted - 1) == 0 &&
                   strtol(reply + sizeof counted - 1, NULL, 10) == i + 1) {
            work->counted++;
        }
        free(reply);
        zmq_poll(NULL, 0, 5);
    }
    ell_client_close(&client);
    return NULL;
}

Test(life, a_client_lives_through_restarts_without_loss_or_doubling) {
    struct shop shop;
    struct restarting work = {.shop = &shop, .calls = 200};
    pthread_t thread;
    shop_open(&shop, 2, 16, 5000);
    snprintf(work.endpoint, sizeof work.endpoint, "%s", wire_endpoint(shop.wire));
    cr_assert_eq(pthread_create(&thread, NULL, count_through_restarts, &work), 0);
    for (int i = 0; i < 4; i++) {
        zmq_poll(NULL, 0, 250);
        shop_close(&shop);
        zmq_poll(NULL, 0, 100);
        shop_reopen(&shop, work.endpoint, 2, 16, 5000);
    }
    pthread_join(thread, NULL);
    cr_assert_eq(work.failed, 0, "%d calls failed", work.failed);
    cr_assert_eq(work.counted, work.calls, "%d of %d counted once", work.counted, work.calls);
    shop_close(&shop);
}

/* What runs is finished and answered; what waits is told; nothing hangs. */
Test(life, closing_drains_the_workers) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    struct restarting work = {.shop = &shop};
    snprintf(work.endpoint, sizeof work.endpoint, "%s", wire_endpoint(shop.wire));
    void *context = zmq_ctx_new(), *dealer = zmq_socket(context, ZMQ_DEALER);
    int patience = 3000, none = 0;
    zmq_setsockopt(dealer, ZMQ_RCVTIMEO, &patience, sizeof patience);
    zmq_setsockopt(dealer, ZMQ_LINGER, &none, sizeof none);
    zmq_setsockopt(dealer, ZMQ_CURVE_SERVERKEY, shop.server.public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(dealer, ZMQ_CURVE_PUBLICKEY, shop.known.public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(dealer, ZMQ_CURVE_SECRETKEY, shop.known.secret, ELL_CURVE_TEXT);
    zmq_connect(dealer, work.endpoint);
    for (int i = 0; i < 3; i++) {
        char id[16];
        snprintf(id, sizeof id, "r-%d", i);
        zmq_send(dealer, ELL_PROTOCOL, 8, ZMQ_SNDMORE);
        zmq_send(dealer, "sleep", 5, ZMQ_SNDMORE);
        zmq_send(dealer, id, strlen(id), ZMQ_SNDMORE);
        zmq_send(dealer, "400", 3, 0);
    }
    zmq_poll(NULL, 0, 200);
    int64_t begun = monotonic_ms();
    shop_close(&shop);
    int64_t took = monotonic_ms() - begun;
    cr_assert(took > 100 && took < 2500, "closing took %lld ms", (long long)took);
    int done = 0, told = 0;
    for (int i = 0; i < 3; i++) {
        char frame[4][400];
        for (int part = 0; part < 4; part++) {
            int size = zmq_recv(dealer, frame[part], 399, 0);
            cr_assert_geq(size, 0, "reply %d is lost", i);
            frame[part][size < 399 ? size : 399] = '\0';
        }
        done += strcmp(frame[2], "ok") == 0;
        told += strstr(frame[3], "\"shutting-down\"") != NULL;
    }
    cr_assert_eq(done, 1);
    cr_assert_eq(told, 2);
    cr_assert_eq(shop.answered, 1);
    zmq_close(dealer);
    zmq_ctx_term(context);
}

Test(life, opens_and_closes_many_times) {
    struct shop shop;
    shop_open(&shop, 2, 8, 5000);
    for (int i = 0; i < 20; i++) {
        char endpoint[256];
        snprintf(endpoint, sizeof endpoint, "%s", wire_endpoint(shop.wire));
        shop_close(&shop);
        shop_reopen(&shop, endpoint, 2, 8, 5000);
    }
    shop_close(&shop);
    wire_close(&shop.wire);
    cr_assert_eq(shop.failures, 0);
}

Test(life, a_taken_port_is_told) {
    struct shop shop;
    struct fault fault = {0};
    struct wire *second = NULL;
    shop_open(&shop, 1, 8, 5000);
    struct wire_handlers handlers = {.context = &shop};
    struct wire_options options = wire_defaults;
    options.endpoint = "tcp://127.0.0.1:*";
    options.events_endpoint = wire_endpoint(shop.wire);
    options.secret_key = shop.server.secret;
    cr_assert(!wire_open(&options, &handlers, &second, &fault));
    cr_assert_str_eq(fault.code, "bad-endpoint");
    cr_assert_null(second);
    options.endpoint = "carrier-pigeon";
    cr_assert(!wire_open(&options, &handlers, &second, &fault));
    shop_close(&shop);
}

Test(life, an_unheard_call_can_be_asked_again) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 3000);
    struct ell_error error = {0};
    char *reply = NULL, id[ELL_REQUEST_ID_MAX + 1];
    cr_assert(!ell_client_call(client, "sleep", NULL, "400", 150, &reply, &error));
    cr_assert_eq(error.failure, ELL_TIMEOUT, "%s", error.message);
    snprintf(id, sizeof id, "%s", ell_client_request_id(client));
    cr_assert_eq(strlen(id), 36, "a UUID");
    cr_assert(ell_client_call(client, "sleep", id, "400", 0, &reply, &error), "%s", error.message);
    cr_assert_str_eq(reply, "400");
    free(reply);
    ell_client_close(&client);
    shop_close(&shop);
}

static void call_and_hear(const char *endpoint, const char *starts) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    shop_close(&shop);
    shop_reopen(&shop, endpoint, 1, 8, 5000);
    cr_assert_eq(strncmp(wire_endpoint(shop.wire), starts, strlen(starts)), 0, "%s",
                 wire_endpoint(shop.wire));
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 5000);
    struct ell_error error = {0};
    char *reply = NULL, topic[ELL_TOPIC_MAX + 1];
    cr_assert(ell_client_call(client, "echo", NULL, "{}", 0, &reply, &error), "%s", error.message);
    free(reply);
    cr_assert(ell_client_subscribe(client, "", &error), "%s", error.message);
    zmq_poll(NULL, 0, 200);
    atomic_store(&shop.events, 1);
    do {
        cr_assert(ell_client_event(client, 8000, topic, &reply, &error), "%s", error.message);
        free(reply);
    } while (strcmp(topic, "order.taken") != 0);
    ell_client_close(&client);
    shop_close(&shop);
}

Test(life, serves_on_a_unix_socket) {
    char folder[] = "/tmp/x.XXXXXX", endpoint[64];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(endpoint, sizeof endpoint, "ipc://%s/s", folder);
    call_and_hear(endpoint, endpoint);
    rmdir(folder);
}

Test(life, an_ipv4_endpoint_is_told_as_it_was_given) {
    call_and_hear("tcp://127.0.0.1:*", "tcp://127.0.0.1:");
}
