/* Events. SPDX-License-Identifier: Apache-2.0 */
#include "client.h"

#include "error.h"

#include "common/document.h"
#include "common/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zmq.h>

/* The daemon tells where it is bound, perhaps to all addresses; the host is the one by which we reach it. */
static bool events_endpoint(const struct ell_client *client, const char *told, char endpoint[256]) {
    const char *port = strrchr(told, ':'), *host_end = strrchr(client->endpoint, ':');
    int written;
    if (strncmp(told, "tcp://", 6) == 0 && strncmp(client->endpoint, "tcp://", 6) == 0)
        written =
            snprintf(endpoint, 256, "%.*s%s", (int)(host_end - client->endpoint), client->endpoint, port);
    else
        written = snprintf(endpoint, 256, "%s", told);
    return written > 0 && written < 256;
}

static bool open_events(struct ell_client *client, struct ell_error *error) {
    char *reply = NULL, endpoint[256] = "";
    if (!ell_client_call(client, "ping", NULL, NULL, 0, &reply, error))
        return false;
    struct fault fault;
    json_t *tree = document_read(reply, strlen(reply), &document_small, &fault);
    const char *told = json_string_value(json_object_get(tree, "events"));
    bool good = told != NULL && events_endpoint(client, told, endpoint);
    json_decref(tree);
    free(reply);
    return good ? link_open(&client->events, client->context, ZMQ_SUB, endpoint, &client->keys, error)
                : error_set(error, ELL_BROKEN, "bad-reply", "events",
                            "The daemon does not tell where its events are.");
}

bool ell_client_subscribe(struct ell_client *client, const char *prefix, struct ell_error *error) {
    if (prefix[0] != '\0' && !ell_word_valid(prefix, strlen(prefix), ELL_TOPIC_MAX))
        return error_set(error, ELL_MISUSE, "bad-frames", prefix,
                         "A topic is up to %d letters, digits, '.', '_' or '-'.", ELL_TOPIC_MAX);
    if (client->events.socket == NULL && !open_events(client, error))
        return false;
    if (zmq_setsockopt(client->events.socket, ZMQ_SUBSCRIBE, prefix, strlen(prefix)) != 0)
        return error_memory(error);
    long long deadline = clock_ms() + client->timeout_ms;
    while (!client->events.up && !client->events.refused && clock_ms() < deadline)
        link_wait(&client->events, deadline - clock_ms());
    if (client->events.up)
        return true;
    link_silence(&client->events, client->endpoint, "events", error);
    link_close(&client->events);
    return false;
}

/* [topic][version][JSON]; anything else is passed over. */
static bool read_event(struct ell_client *client, char topic[ELL_TOPIC_MAX + 1], char **json) {
    char *frames[3] = {NULL};
    size_t size, count = 0;
    bool more = true;
    while (more && count < 3 && (frames[count] = link_frame(&client->events, &size, &more)) != NULL)
        count++;
    link_skip(&client->events, more);
    bool good = count == 3 && !more && strcmp(frames[1], ELL_PROTOCOL) == 0 &&
                ell_word_valid(frames[0], strlen(frames[0]), ELL_TOPIC_MAX);
    if (good) {
        text_copy(topic, ELL_TOPIC_MAX + 1, frames[0]);
        *json = frames[2];
        frames[2] = NULL;
    }
    for (size_t i = 0; i < count; i++)
        free(frames[i]);
    return good;
}

bool ell_client_event(struct ell_client *client, int timeout_ms, char topic[ELL_TOPIC_MAX + 1], char **json,
                      struct ell_error *error) {
    if (client->events.socket == NULL)
        return error_set(error, ELL_MISUSE, "not-subscribed", "events",
                         "Subscribe before waiting for events.");
    long long deadline = clock_ms() + timeout_ms;
    do {
        if (link_wait(&client->events, deadline - clock_ms()) && read_event(client, topic, json))
            return true;
    } while (clock_ms() < deadline && !client->events.refused);
    return link_silence(&client->events, client->endpoint, "events", error);
}
