/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/queue.h"

#include <stdlib.h>
#include <string.h>

static uint64_t digest_bytes(uint64_t digest, const unsigned char *bytes, size_t count) {
    for (size_t i = 0; i < count; i++)
        digest = (digest ^ bytes[i]) * UINT64_C(0x100000001b3);
    return digest;
}

static const uint64_t digest_start = UINT64_C(0xcbf29ce484222325);

static uint64_t digest_key(const char *key_name) {
    return digest_bytes(digest_start, (const unsigned char *)key_name, strlen(key_name));
}

bool queue_open(struct queue *queue, size_t most) {
    *queue = (struct queue){
        .ring = calloc(most, sizeof *queue->ring), .marks = calloc(most, sizeof *queue->marks), .most = most};
    if (queue->ring != NULL && queue->marks != NULL)
        return true;
    queue_close(queue);
    return false;
}

void queue_close(struct queue *queue) {
    struct waiting request;
    while (queue->ring != NULL && queue_take(queue, &request))
        waiting_close(&request);
    free(queue->ring);
    free(queue->marks);
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

static size_t place(const struct queue *queue, size_t index) {
    size_t at = queue->first + index;
    return at < queue->most ? at : at - queue->most;
}

static size_t held_by(const struct queue *queue, uint64_t key) {
    size_t held = 0;
    for (size_t i = 0; i < queue->count; i++)
        held += queue->marks[place(queue, i)].key == key;
    return held;
}

bool queue_put(struct queue *queue, struct waiting *request) {
    size_t size = zmq_msg_size(&request->body), share = (queue->most + 1) / 2;
    struct mark mark = {request->digest, digest_key(request->key_name)};
    if (queue->count == queue->most || queue->bytes + size > QUEUE_BYTES_MAX ||
        (queue->count >= share && held_by(queue, mark.key) >= share))
        return false;
    size_t at = place(queue, queue->count++);
    waiting_move(&queue->ring[at], request);
    queue->marks[at] = mark;
    queue->bytes += size;
    return true;
}

bool queue_take(struct queue *queue, struct waiting *request) {
    if (queue->count == 0)
        return false;
    waiting_move(request, &queue->ring[queue->first]);
    queue->first = place(queue, 1);
    queue->count--;
    queue->bytes -= zmq_msg_size(&request->body);
    return true;
}

uint64_t waiting_digest(zmq_msg_t *verb, zmq_msg_t *body) {
    uint64_t digest = digest_bytes(digest_start, zmq_msg_data(verb), zmq_msg_size(verb));
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
        size_t at = place(queue, i);
        if (queue->marks[at].request == request->digest && waiting_same(&queue->ring[at], request))
            return &queue->ring[at];
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
