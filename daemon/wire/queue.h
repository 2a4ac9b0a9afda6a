/* Requests that wait for a worker: first come, first served, bounded in number and in bytes, and no key may
 * hold more than half of it, so that one program that runs wild does not shut out the others.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_QUEUE_H
#define ELLWAND_WIRE_QUEUE_H

#include <ellwand/protocol.h>
#include <stdbool.h>
#include <stdint.h>
#include <zmq.h>

/* One request on its way, from its arrival to its reply. */
struct waiting {
    zmq_msg_t route; /* which peer it came from */
    zmq_msg_t verb, id, body;
    uint64_t digest; /* of verb and body, see waiting_digest */
    bool delimited;
    char key_name[ELL_KEY_NAME_MAX + 1];
    int64_t deadline_ms;
};

/* What tells requests and keys apart, close together: looking through a full queue must not cost more than work. */
struct mark {
    uint64_t request, key;
};

struct queue {
    struct waiting *ring; /* of `most` */
    struct mark *marks;   /* of the same places */
    size_t most, first, count, bytes;
};

/* Bytes of all bodies that wait together. */
#define QUEUE_BYTES_MAX ((size_t)64 << 20)

bool queue_open(struct queue *queue, size_t most);
void queue_close(struct queue *queue);

/* Moves the frames of `request` into the queue. False when there is no place for it; `request` is then
 * untouched. */
bool queue_put(struct queue *queue, struct waiting *request);
/* Moves the oldest out; false when there is none. The caller closes it with waiting_close. */
bool queue_take(struct queue *queue, struct waiting *request);

/* The one that waits and is the same request: key, id, verb and body. NULL when none is; else borrowed until the
 * queue changes. */
struct waiting *queue_find(struct queue *queue, const struct waiting *request);

/* Moves all of `from`, which then holds empty frames that need no closing. */
void waiting_move(struct waiting *to, struct waiting *from);
/* FNV-1a, 64 bits, over the verb, a zero byte and the body. (Fowler, Noll, Vo; draft-eastlake-fnv.) */
uint64_t waiting_digest(zmq_msg_t *verb, zmq_msg_t *body);
bool waiting_same(const struct waiting *one, const struct waiting *other);
/* The answer goes to whoever asked last: takes over route and deadline of `later`. */
void waiting_follow(struct waiting *request, struct waiting *later);
void waiting_close(struct waiting *request);

#endif
