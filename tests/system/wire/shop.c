/* SPDX-License-Identifier: Apache-2.0 */
#include "shop.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Requests seen by "count", as a database would keep them: they outlive the wire. */
static pthread_mutex_t seen_lock = PTHREAD_MUTEX_INITIALIZER;
static char seen[4096][ELL_REQUEST_ID_MAX + 1];
static int seen_count;

static int count_once(const char *request_id) {
    pthread_mutex_lock(&seen_lock);
    int at = 0;
    while (at < seen_count && strcmp(seen[at], request_id) != 0)
        at++;
    if (at == seen_count && seen_count < 4096)
        snprintf(seen[seen_count++], sizeof seen[0], "%s", request_id);
    pthread_mutex_unlock(&seen_lock);
    return at + 1;
}

static void pause_ms(long ms) {
    struct timespec time = {ms / 1000, ms % 1000 * 1000000};
    nanosleep(&time, NULL);
}

static char *text_of(const char *bytes, size_t size) {
    char *text = malloc(size + 1);
    memcpy(text, bytes, size);
    text[size] = '\0';
    return text;
}

static bool shop_answer(void *context, const struct wire_request *request, char **reply) {
    struct shop *shop = context;
    char *body = text_of(request->body, request->body_size);
    bool good = true;
    atomic_fetch_add(&shop->answered, 1);
    if (strcmp(request->verb, "sleep") == 0)
        pause_ms(strtol(body, NULL, 10));
    if (strcmp(request->verb, "count") == 0) {
        good = asprintf(reply, "{\"count\":%d}", count_once(request->request_id)) > 0;
    } else if (strcmp(request->verb, "large") == 0) {
        size_t size = strtoul(body, NULL, 10);
        *reply = malloc(size + 1);
        memset(*reply, ' ', size);
        (*reply)[0] = '0';
        (*reply)[size] = '\0';
    } else if (strcmp(request->verb, "who") == 0) {
        good = asprintf(reply, "{\"key\":\"%s\"}", request->key_name) > 0;
    } else if (strcmp(request->verb, "refuse") == 0) {
        *reply = strdup("{\"code\":\"no-such-order\",\"message\":\"No order A7.\",\"where\":\"order\"}");
        good = false;
    } else {
        *reply = body;
        body = NULL;
    }
    free(body);
    return good;
}

static enum wire_key shop_key_known(void *context, const char public_key[ELL_CURVE_TEXT],
                                    char name[ELL_KEY_NAME_MAX + 1]) {
    struct shop *shop = context;
    atomic_fetch_add(&shop->asked_keys, 1);
    if (atomic_load(&shop->keys_unavailable))
        return WIRE_KEY_LATER;
    if (strcmp(public_key, shop->known.public_half) != 0)
        return WIRE_KEY_REFUSED;
    snprintf(name, ELL_KEY_NAME_MAX + 1, "%s", shop->known.name);
    return WIRE_KEY_KNOWN;
}

static bool shop_event_next(void *context, int timeout_ms, char topic[ELL_TOPIC_MAX + 1], char **json) {
    struct shop *shop = context;
    if (atomic_load(&shop->events) <= 0) {
        pause_ms(timeout_ms < 20 ? timeout_ms : 20);
        return false;
    }
    int left = atomic_fetch_sub(&shop->events, 1);
    snprintf(topic, ELL_TOPIC_MAX + 1, "order.taken");
    return asprintf(json, "{\"left\":%d}", left) > 0;
}

static void shop_failed(void *context, const struct fault *fault) {
    struct shop *shop = context;
    fprintf(stderr, "%s: %s\n", fault->where, fault->message);
    atomic_fetch_add(&shop->failures, 1);
}

void shop_reopen(struct shop *shop, const char *endpoint, int workers, int queue, int64_t request_ms) {
    struct wire_handlers handlers = {.context = shop,
                                     .answer = shop_answer,
                                     .key_known = shop_key_known,
                                     .event_next = shop_event_next,
                                     .failed = shop_failed};
    struct wire_options options = wire_defaults;
    struct fault fault = {0};
    options.endpoint = endpoint;
    options.events_endpoint = "tcp://127.0.0.1:*";
    options.secret_key = shop->server.secret;
    options.workers = workers;
    options.queue = queue;
    options.request_ms = request_ms;
    options.handshake_ms = 1000;
    cr_assert(wire_open(&options, &handlers, &shop->wire, &fault), "%s: %s", fault.where, fault.message);
}

void shop_open(struct shop *shop, int workers, int queue, int64_t request_ms) {
    struct ell_error error;
    *shop = (struct shop){0};
    cr_assert(ell_key_make("server", &shop->server, &error) && ell_key_make("saw-1", &shop->known, &error) &&
              ell_key_make("stranger", &shop->unknown, &error));
    shop_reopen(shop, "tcp://127.0.0.1:*", workers, queue, request_ms);
}

void shop_close(struct shop *shop) {
    wire_close(&shop->wire);
}

struct ell_client *shop_client(const struct shop *shop, const struct ell_key *key, const char *server_key,
                               int timeout_ms) {
    struct ell_client_options options = {.endpoint = wire_endpoint(shop->wire),
                                         .server_key = server_key,
                                         .key = key,
                                         .timeout_ms = timeout_ms};
    struct ell_client *client = NULL;
    struct ell_error error;
    cr_assert(ell_client_open(&options, &client, &error), "%s", error.message);
    return client;
}
