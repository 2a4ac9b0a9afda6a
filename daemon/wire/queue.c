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

static void move_request(struct waiting *to, struct waiting *from) {
    to->delimited = from->delimited;
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
    move_request(&queue->ring[(queue->first + queue->count++) % queue->most], request);
    queue->bytes += size;
    return true;
}

bool queue_take(struct queue *queue, struct waiting *request) {
    if (queue->count == 0)
        return false;
    move_request(request, &queue->ring[queue->first]);
    queue->first = (queue->first + 1) % queue->most;
    queue->count--;
    queue->bytes -= zmq_msg_size(&request->body);
    return true;
}

void waiting_close(struct waiting *request) {
    zmq_msg_close(&request->route);
    zmq_msg_close(&request->verb);
    zmq_msg_close(&request->id);
    zmq_msg_close(&request->body);
}
