/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/queue.h"

#include <stdlib.h>
#include <string.h>

bool queue_open(struct queue *queue, size_t most) {
    *queue = (struct queue){.ring = calloc(most, sizeof *queue->ring), .most = most};
    return queue->ring != NULL;
}

void queue_close(struct queue *queue) {
    struct waiting request;
    while (queue->ring != NULL && queue_take(queue, &request))
        waiting_close(&request);
    free(queue->ring);
    *queue = (struct queue){0};
}

/* What a frame holds goes over; `from` stays empty. */
static void move_frame(zmq_msg_t *to, zmq_msg_t *from) {
    zmq_msg_init(to);
    zmq_msg_move(to, from);
    zmq_msg_close(from);
}

void waiting_move(struct waiting *to, struct waiting *from) {
    to->delimited = from->delimited;
    to->digest = from->digest;
    to->deadline_ms = from->deadline_ms;
    memcpy(to->key_name, from->key_name, sizeof to->key_name);
    move_frame(&to->route, &from->route);
    move_frame(&to->verb, &from->verb);
    move_frame(&to->id, &from->id);
    move_frame(&to->body, &from->body);
}

static size_t held_by(const struct queue *queue, const char *key_name) {
    size_t held = 0;
    for (size_t i = 0; i < queue->count; i++)
        held += strcmp(queue->ring[(queue->first + i) % queue->most].key_name, key_name) == 0;
    return held;
}

bool queue_put(struct queue *queue, struct waiting *request) {
    size_t size = zmq_msg_size(&request->body), share = (queue->most + 1) / 2;
    if (queue->count == queue->most || queue->bytes + size > QUEUE_BYTES_MAX ||
        (queue->count >= share && held_by(queue, request->key_name) >= share))
        return false;
    waiting_move(&queue->ring[(queue->first + queue->count++) % queue->most], request);
    queue->bytes += size;
    return true;
}

bool queue_take(struct queue *queue, struct waiting *request) {
    if (queue->count == 0)
        return false;
    waiting_move(request, &queue->ring[queue->first]);
    queue->first = (queue->first + 1) % queue->most;
    queue->count--;
    queue->bytes -= zmq_msg_size(&request->body);
    return true;
}

static uint64_t digest_bytes(uint64_t digest, const unsigned char *bytes, size_t count) {
    for (size_t i = 0; i < count; i++)
        digest = (digest ^ bytes[i]) * UINT64_C(0x100000001b3);
    return digest;
}

uint64_t waiting_digest(zmq_msg_t *verb, zmq_msg_t *body) {
    uint64_t digest = digest_bytes(UINT64_C(0xcbf29ce484222325), zmq_msg_data(verb), zmq_msg_size(verb));
    digest = digest_bytes(digest, (const unsigned char *)"", 1);
    return digest_bytes(digest, zmq_msg_data(body), zmq_msg_size(body));
}

bool waiting_same(const struct waiting *one, const struct waiting *other) {
    /* zmq_msg_data takes no const, and changes nothing. */
    zmq_msg_t *id = (zmq_msg_t *)&one->id, *other_id = (zmq_msg_t *)&other->id;
    return one->digest == other->digest && strcmp(one->key_name, other->key_name) == 0 &&
           zmq_msg_size(id) == zmq_msg_size(other_id) &&
           memcmp(zmq_msg_data(id), zmq_msg_data(other_id), zmq_msg_size(id)) == 0;
}

struct waiting *queue_find(struct queue *queue, const struct waiting *request) {
    for (size_t i = 0; i < queue->count; i++) {
        struct waiting *waiting = &queue->ring[(queue->first + i) % queue->most];
        if (waiting_same(waiting, request))
            return waiting;
    }
    return NULL;
}

void waiting_follow(struct waiting *request, struct waiting *later) {
    zmq_msg_move(&request->route, &later->route);
    request->delimited = later->delimited;
    request->deadline_ms = later->deadline_ms;
}

void waiting_close(struct waiting *request) {
    zmq_msg_close(&request->route);
    zmq_msg_close(&request->verb);
    zmq_msg_close(&request->id);
    zmq_msg_close(&request->body);
}
