/* Floods, slow and silent peers, large and malformed messages. SPDX-License-Identifier: Apache-2.0 */
#include "shop.h"

#include "wire/inside.h"

#include <arpa/inet.h>
#include <criterion/criterion.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>
#include <zmq.h>

/* A bare socket of `type` with the shop's known key. */
static void *bare_socket(void *context, const struct shop *shop, int type) {
    void *socket = zmq_socket(context, type);
    int none = 0, patience = 5000;
    zmq_setsockopt(socket, ZMQ_LINGER, &none, sizeof none);
    zmq_setsockopt(socket, ZMQ_RCVTIMEO, &patience, sizeof patience);
    zmq_setsockopt(socket, ZMQ_CURVE_SERVERKEY, shop->server.public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(socket, ZMQ_CURVE_PUBLICKEY, shop->known.public_half, ELL_CURVE_TEXT);
    zmq_setsockopt(socket, ZMQ_CURVE_SECRETKEY, shop->known.secret, ELL_CURVE_TEXT);
    cr_assert_eq(zmq_connect(socket, wire_endpoint(shop->wire)), 0);
    return socket;
}

static void send_frames(void *socket, const char *const frames[], size_t count) {
    for (size_t i = 0; i < count; i++)
        cr_assert(zmq_send(socket, frames[i], strlen(frames[i]), i + 1 < count ? ZMQ_SNDMORE : 0) >= 0);
}

/* The frames of the next message as text; the count, 0 when none came. */
static size_t receive_frames(void *socket, char frames[8][400]) {
    size_t count = 0;
    int more = 1;
    size_t size = sizeof more;
    while (more && count < 8) {
        int got = zmq_recv(socket, frames[count], 399, 0);
        if (got < 0)
            return 0;
        frames[count++][got < 399 ? got : 399] = '\0';
        zmq_getsockopt(socket, ZMQ_RCVMORE, &more, &size);
    }
    return count;
}

Test(limits, a_req_socket_is_served) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    void *context = zmq_ctx_new(), *req = bare_socket(context, &shop, ZMQ_REQ);
    char frames[8][400];
    for (int i = 0; i < 3; i++) {
        send_frames(req, (const char *[]){"ELLWAND1", i == 1 ? "ping" : "echo", "q-7", "{\"a\":2}"}, 4);
        cr_assert_eq(receive_frames(req, frames), 4);
        cr_assert_str_eq(frames[1], "q-7");
        cr_assert_str_eq(frames[2], "ok");
    }
    send_frames(req, (const char *[]){"ELLWAND9", "echo", "q-8", "{}"}, 4);
    cr_assert_eq(receive_frames(req, frames), 4);
    cr_assert_str_eq(frames[2], "error");
    cr_assert(strstr(frames[3], "\"wrong-version\"") != NULL, "%s", frames[3]);
    zmq_close(req);
    zmq_ctx_term(context);
    shop_close(&shop);
}

Test(limits, wrong_frames_get_an_error_and_do_no_harm) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    void *context = zmq_ctx_new(), *dealer = bare_socket(context, &shop, ZMQ_DEALER);
    char frames[8][400];
    const char *const many[20] = {"ELLWAND1", "echo", "r",  "{}", "5",  "6",  "7",  "8",  "9",  "10",
                                  "11",       "12",   "13", "14", "15", "16", "17", "18", "19", "20"};
    const struct {
        size_t count;
        const char *frames[5], *id, *code;
    } wrong[] = {
        {1, {""}, "", "bad-frames"},
        {1, {"ELLWAND1"}, "", "bad-frames"},
        {3, {"ELLWAND1", "echo", "r-1"}, "r-1", "bad-frames"},
        {4, {"ELLWAND1", "ECHO", "r-2", "{}"}, "r-2", "bad-frames"},
        {4, {"ELLWAND1", "echo", "r 3", "{}"}, "", "bad-frames"},
        {5, {"ELLWAND1", "echo", "r-4", "{}", "{}"}, "r-4", "bad-frames"},
        {4, {"HELLO", "echo", "r-5", "{}"}, "r-5", "wrong-version"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        send_frames(dealer, wrong[i].frames, wrong[i].count);
        size_t empty =
            wrong[i].frames[0][0] == '\0'; /* that looks like a REQ peer, and is answered like one */
        cr_assert_eq(receive_frames(dealer, frames), 4 + empty, "message %zu", i);
        cr_assert_str_eq(frames[empty + 1], wrong[i].id, "message %zu", i);
        cr_assert(strstr(frames[empty + 3], wrong[i].code) != NULL, "message %zu: %s", i, frames[empty + 3]);
    }
    send_frames(dealer, many, 20);
    cr_assert_eq(receive_frames(dealer, frames), 4);
    cr_assert_eq(shop.answered, 0);
    send_frames(dealer, many, 4);
    cr_assert_eq(receive_frames(dealer, frames), 4);
    cr_assert_str_eq(frames[2], "ok");
    zmq_close(dealer);
    zmq_ctx_term(context);
    shop_close(&shop);
}

Test(limits, large_bodies_and_replies) {
    struct shop shop;
    shop_open(&shop, 1, 8, 10000);
    void *context = zmq_ctx_new(), *dealer = bare_socket(context, &shop, ZMQ_DEALER);
    char frames[8][400];
    char *large = calloc(1, 3 * ELL_BODY_MAX);
    /* Over the limit: an error. Far over it: the connection ends, and the daemon serves on. */
    zmq_send(dealer, "ELLWAND1", 8, ZMQ_SNDMORE);
    zmq_send(dealer, "echo", 4, ZMQ_SNDMORE);
    zmq_send(dealer, "big-1", 5, ZMQ_SNDMORE);
    zmq_send(dealer, large, ELL_BODY_MAX + 1, 0);
    cr_assert_eq(receive_frames(dealer, frames), 4);
    cr_assert(strstr(frames[3], "\"too-large\"") != NULL, "%s", frames[3]);
    cr_assert_str_eq(frames[1], "big-1");
    zmq_send(dealer, large, 3 * ELL_BODY_MAX, 0);
    zmq_close(dealer);
    zmq_ctx_term(context);
    free(large);

    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 10000);
    struct ell_error error = {0};
    char *reply = NULL, size[32];
    snprintf(size, sizeof size, "%zu", ELL_BODY_MAX);
    cr_assert(ell_client_call(client, "large", NULL, size, 0, &reply, &error), "%s", error.message);
    cr_assert_eq(strlen(reply), ELL_BODY_MAX);
    free(reply);
    snprintf(size, sizeof size, "%zu", ELL_BODY_MAX + 1);
    cr_assert(!ell_client_call(client, "large", NULL, size, 0, &reply, &error));
    cr_assert_str_eq(error.code, "too-large");
    ell_client_close(&client);
    shop_close(&shop);
}

/* With the only worker asleep and the queue full the answer is "busy" within moments, and ping is answered
 * still. */
Test(limits, a_flood_is_told_busy_at_once) {
    struct shop shop;
    shop_open(&shop, 1, 4, 10000);
    void *context = zmq_ctx_new(), *dealer = bare_socket(context, &shop, ZMQ_DEALER);
    char frames[8][400], id[16];
    enum { FLOOD = 2000 };
    int large = FLOOD;
    zmq_setsockopt(dealer, ZMQ_SNDHWM, &large, sizeof large);
    send_frames(dealer, (const char *[]){"ELLWAND1", "sleep", "slow", "1500"}, 4);
    zmq_poll(NULL, 0, 200);
    int64_t begun = monotonic_ms();
    int busy = 0, done = 0, heard = 0;
    for (int i = 0; i < FLOOD; i++) {
        snprintf(id, sizeof id, "f-%d", i);
        send_frames(dealer, (const char *[]){"ELLWAND1", "echo", id, "{}"}, 4);
        /* Read along, as a client that wants its replies does: 64 may wait. */
        while (heard < i - 16 && receive_frames(dealer, frames) == 4) {
            busy += strstr(frames[3], "\"busy\"") != NULL;
            heard++;
        }
    }
    cr_assert_lt(monotonic_ms() - begun, 1200, "the flood was not answered while the worker slept");
    cr_assert_gt(busy, FLOOD / 2);
    struct ell_client *other = shop_client(&shop, &shop.known, shop.server.public_half, 1000);
    struct ell_error error = {0};
    char *reply = NULL;
    cr_assert(ell_client_call(other, "ping", NULL, NULL, 0, &reply, &error), "%s", error.message);
    free(reply);
    ell_client_close(&other);
    while (heard < FLOOD + 1 && receive_frames(dealer, frames) == 4) {
        busy += strstr(frames[3], "\"busy\"") != NULL;
        done += strcmp(frames[2], "ok") == 0;
        heard++;
    }
    cr_assert_eq(heard, FLOOD + 1, "%d of %d answered", heard, FLOOD + 1);
    cr_assert_eq(busy + done, FLOOD + 1);
    cr_assert_eq(done, 3, "the sleeper and the two that one key may keep waiting");
    zmq_close(dealer);
    zmq_ctx_term(context);
    shop_close(&shop);
}

/* Sent again from another connection while it waits or runs: begun once, answered where it was asked last. */
Test(limits, a_request_sent_again_is_begun_once) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    void *context = zmq_ctx_new();
    void *first = bare_socket(context, &shop, ZMQ_DEALER), *second = bare_socket(context, &shop, ZMQ_DEALER);
    char frames[8][400];
    send_frames(first, (const char *[]){"ELLWAND1", "sleep", "runs", "500"}, 4);
    zmq_poll(NULL, 0, 100);
    send_frames(first, (const char *[]){"ELLWAND1", "sleep", "waits", "1"}, 4);
    zmq_poll(NULL, 0, 50);
    send_frames(second, (const char *[]){"ELLWAND1", "sleep", "runs", "500"}, 4);
    send_frames(second, (const char *[]){"ELLWAND1", "sleep", "waits", "1"}, 4);
    send_frames(second, (const char *[]){"ELLWAND1", "sleep", "waits", "2"}, 4);
    static const char *const ids[] = {"runs", "waits", "waits"}, *const bodies[] = {"500", "1", "2"};
    for (int i = 0; i < 3; i++) {
        cr_assert_eq(receive_frames(second, frames), 4, "answer %d is lost", i);
        cr_assert_str_eq(frames[1], ids[i]);
        cr_assert_str_eq(frames[2], "ok");
        cr_assert_str_eq(frames[3], bodies[i]);
    }
    cr_assert_eq(shop.answered, 3, "%d were begun", shop.answered);
    int none = 0;
    zmq_setsockopt(first, ZMQ_RCVTIMEO, &none, sizeof none);
    cr_assert_eq(receive_frames(first, frames), 0, "the first connection was answered too");
    zmq_close(first);
    zmq_close(second);
    zmq_ctx_term(context);
    shop_close(&shop);
}

Test(limits, what_waited_too_long_is_not_begun) {
    struct shop shop;
    shop_open(&shop, 1, 8, 300);
    void *context = zmq_ctx_new(), *dealer = bare_socket(context, &shop, ZMQ_DEALER);
    char frames[8][400];
    send_frames(dealer, (const char *[]){"ELLWAND1", "sleep", "slow", "600"}, 4);
    zmq_poll(NULL, 0, 50);
    send_frames(dealer, (const char *[]){"ELLWAND1", "echo", "late", "{}"}, 4);
    cr_assert_eq(receive_frames(dealer, frames), 4);
    cr_assert_eq(receive_frames(dealer, frames), 4);
    cr_assert_str_eq(frames[1], "late");
    cr_assert(strstr(frames[3], "\"busy\"") != NULL, "%s", frames[3]);
    cr_assert_eq(shop.answered, 1);
    zmq_close(dealer);
    zmq_ctx_term(context);
    shop_close(&shop);
}

static int connect_raw(const struct shop *shop) {
    int descriptor = socket(AF_INET, SOCK_STREAM, 0);
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    address.sin_port = htons((uint16_t)strtoul(strrchr(wire_endpoint(shop->wire), ':') + 1, NULL, 10));
    cr_assert_eq(connect(descriptor, (struct sockaddr *)&address, sizeof address), 0);
    return descriptor;
}

/* Reads until the other side closes; milliseconds until it did. */
static int64_t until_closed(int descriptor) {
    char bytes[512];
    int64_t begun = monotonic_ms();
    struct timeval patience = {8, 0};
    setsockopt(descriptor, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    while (recv(descriptor, bytes, sizeof bytes, 0) > 0)
        continue;
    close(descriptor);
    return monotonic_ms() - begun;
}

Test(limits, silent_and_babbling_peers_are_cut_off) {
    struct shop shop;
    shop_open(&shop, 1, 8, 5000);
    int silent = connect_raw(&shop), babbler = connect_raw(&shop);
    static const char babble[] = "GET / HTTP/1.1\r\nHost: x\r\n\r\n";
    cr_assert_gt(send(babbler, babble, sizeof babble - 1, MSG_NOSIGNAL), 0);
    int64_t waited = until_closed(silent);
    cr_assert(waited > 500 && waited < 3000, "cut off after %lld ms, not 1000", (long long)waited);
    cr_assert_lt(until_closed(babbler), 3000);
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 2000);
    struct ell_error error = {0};
    char *reply = NULL;
    cr_assert(ell_client_call(client, "echo", NULL, NULL, 0, &reply, &error), "%s", error.message);
    free(reply);
    ell_client_close(&client);
    shop_close(&shop);
}

/* A peer that never reads its replies holds up nobody. */
Test(limits, a_peer_that_does_not_read_holds_up_nobody) {
    struct shop shop;
    shop_open(&shop, 2, 64, 5000);
    void *context = zmq_ctx_new(), *deaf = bare_socket(context, &shop, ZMQ_DEALER);
    int few = 1, small = 4096;
    zmq_setsockopt(deaf, ZMQ_RCVHWM, &few, sizeof few);
    zmq_setsockopt(deaf, ZMQ_RCVBUF, &small, sizeof small);
    for (int i = 0; i < 200; i++) {
        char id[32];
        snprintf(id, sizeof id, "deaf-%d", i);
        send_frames(deaf, (const char *[]){"ELLWAND1", "large", id, "400000"}, 4);
        zmq_poll(NULL, 0, 2);
    }
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 5000);
    struct ell_error error = {0};
    char *reply = NULL;
    for (int i = 0; i < 20; i++) {
        cr_assert(ell_client_call(client, "echo", NULL, NULL, 0, &reply, &error), "%s", error.message);
        free(reply);
    }
    ell_client_close(&client);
    zmq_close(deaf);
    zmq_ctx_term(context);
    shop_close(&shop);
}
