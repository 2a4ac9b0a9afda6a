/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/broker.h"

#include "wire/frames.h"
#include "wire/parts.h"
#include "wire/reply.h"
#include "wire/worker.h"

#include <errno.h>
#include <string.h>

/* Messages read from one socket before the others get their turn. */
enum { MESSAGES_A_TURN = 64 };

static void refuse(struct broker *broker, struct waiting *request, const struct fault *fault) {
    struct frame id = {zmq_msg_data(&request->id), zmq_msg_size(&request->id)};
    reply_fault(broker->front, &request->route, request->delimited, id, fault);
    waiting_close(request);
}

static void refuse_busy(struct broker *broker, struct waiting *request) {
    struct fault fault;
    fault_set(&fault, "busy", "queue",
              "%zu requests wait already. Wait a moment and send it again with the same request id.",
              broker->queue.count);
    refuse(broker, request, &fault);
}

static void give_to_worker(struct broker *broker, struct waiting *request) {
    int index = broker->idle[--broker->idle_count];
    struct waiting *running = &broker->running[index];
    unsigned char route[2] = {'w', (unsigned char)index};
    zmq_msg_t id;
    waiting_move(running, request);
    broker->busy[index] = true;
    zmq_msg_init(&id);
    zmq_msg_copy(&id, &running->id);
    send_bytes(broker->back, route, sizeof route, ZMQ_SNDMORE);
    send_bytes(broker->back, running->key_name, strlen(running->key_name), ZMQ_SNDMORE);
    send_bytes(broker->back, &running->deadline_ms, sizeof running->deadline_ms, ZMQ_SNDMORE);
    send_message(broker->back, &running->verb, ZMQ_SNDMORE);
    send_message(broker->back, &id, ZMQ_SNDMORE);
    send_message(broker->back, &running->body, 0);
    zmq_msg_close(&id);
}

/* What waited too long is answered, not begun: its client listens no longer, and asks again with the same id. */
static void feed_workers(struct broker *broker) {
    struct waiting request;
    while (broker->idle_count > 0 && queue_take(&broker->queue, &request)) {
        if (monotonic_ms() < request.deadline_ms) {
            give_to_worker(broker, &request);
            continue;
        }
        struct fault fault;
        fault_set(&fault, "busy", "queue",
                  "It waited longer than %lld ms for its turn and was not begun. Send it again with the same "
                  "request id.",
                  (long long)broker->options.request_ms);
        refuse(broker, &request, &fault);
    }
}

static void answer_ping(struct broker *broker, struct parts *message, const struct request_frames *request,
                        const char *key_name) {
    struct ping ping = {.key_name = key_name,
                        .events_endpoint = broker->events_endpoint,
                        .workers = broker->options.workers,
                        .busy = broker->options.workers - broker->idle_count,
                        .waiting = (int)broker->queue.count};
    reply_ping(broker->front, &message->messages[0], request->delimited, request->id, &ping);
}

/* The same request, waiting or running already; NULL when there is none. */
static struct waiting *find_twin(struct broker *broker, const struct waiting *request) {
    for (int i = 0; i < broker->workers_started; i++)
        if (broker->busy[i] && waiting_same(&broker->running[i], request))
            return &broker->running[i];
    return queue_find(&broker->queue, request);
}

static void place_request(struct broker *broker, struct waiting *request) {
    struct waiting *twin = find_twin(broker, request);
    if (twin != NULL) {
        waiting_follow(twin, request);
        waiting_close(request);
    } else if (!queue_put(&broker->queue, request)) {
        refuse_busy(broker, request);
    }
}

static void take_request(struct broker *broker, struct parts *message, const struct request_frames *request,
                         const char *key_name) {
    struct waiting waiting = {.delimited = request->delimited,
                              .deadline_ms = monotonic_ms() + broker->options.request_ms};
    size_t first = request->delimited ? 2 : 1;
    strncpy(waiting.key_name, key_name, sizeof waiting.key_name - 1);
    zmq_msg_init(&waiting.route);
    zmq_msg_move(&waiting.route, &message->messages[0]);
    zmq_msg_init(&waiting.verb);
    zmq_msg_move(&waiting.verb, &message->messages[first + 1]);
    zmq_msg_init(&waiting.id);
    zmq_msg_move(&waiting.id, &message->messages[first + 2]);
    if (parts_size(message, first + 3) == 0) {
        zmq_msg_init_size(&waiting.body, request->body.size);
        memcpy(zmq_msg_data(&waiting.body), request->body.bytes, request->body.size);
    } else {
        zmq_msg_init(&waiting.body);
        zmq_msg_move(&waiting.body, &message->messages[first + 3]);
    }
    waiting.digest = waiting_digest(&waiting.verb, &waiting.body);
    place_request(broker, &waiting);
}

static void read_request(struct broker *broker, struct parts *message) {
    const char *key_name = zmq_msg_gets(&message->messages[message->kept - 1], "User-Id");
    /* No name means that no ZAP handler looked at the key: not even an error goes back. */
    if (key_name == NULL || key_name[0] == '\0' || message->count < 2)
        return;
    struct frame frames[PARTS_MOST];
    for (size_t i = 1; i < message->kept; i++)
        frames[i - 1] = (struct frame){parts_bytes(message, i), parts_size(message, i)};
    struct request_frames request;
    struct fault fault;
    if (!frames_read(frames, message->count - 1, &request, &fault))
        reply_fault(broker->front, &message->messages[0], request.delimited, request.id, &fault);
    else if (request.verb.size == 4 && memcmp(request.verb.bytes, "ping", 4) == 0)
        answer_ping(broker, message, &request, key_name);
    else
        take_request(broker, message, &request, key_name);
}

static void read_front(struct broker *broker) {
    struct parts message;
    for (int i = 0; i < MESSAGES_A_TURN && parts_receive(broker->front, &message, ZMQ_DONTWAIT); i++) {
        read_request(broker, &message);
        parts_close(&message);
        feed_workers(broker);
    }
}

static void finish_request(struct broker *broker, int index, struct parts *done) {
    struct waiting *running = &broker->running[index];
    if (done->count == DONE_PARTS + 1 && broker->front != NULL) {
        struct frame id = {zmq_msg_data(&running->id), zmq_msg_size(&running->id)};
        reply_done(broker->front, &running->route, running->delimited, id, &done->messages[1]);
    }
    waiting_close(running);
    broker->busy[index] = false;
}

/* From a worker: it is ready, with the answer to its last request unless it is new. */
static void read_back(struct broker *broker) {
    struct parts message;
    for (int i = 0; i < MESSAGES_A_TURN && parts_receive(broker->back, &message, ZMQ_DONTWAIT); i++) {
        int index = (unsigned char)parts_bytes(&message, 0)[1];
        if (broker->busy[index])
            finish_request(broker, index, &message);
        broker->idle[broker->idle_count++] = index;
        parts_close(&message);
    }
    feed_workers(broker);
}

static void read_control(struct broker *broker) {
    struct parts message;
    while (parts_receive(broker->control, &message, ZMQ_DONTWAIT)) {
        char word[16];
        parts_text(&message, 0, word, sizeof word);
        broker->stopping = true;
        broker->zap_died = broker->zap_died || strcmp(word, BROKER_ZAP_DIED) == 0;
        parts_close(&message);
    }
}

static bool poll_once(struct broker *broker) {
    zmq_pollitem_t items[] = {{broker->control, 0, ZMQ_POLLIN, 0},
                              {broker->back, 0, ZMQ_POLLIN, 0},
                              {broker->front, 0, ZMQ_POLLIN, 0}};
    /* While stopping only the workers are heard. */
    if (zmq_poll(items, broker->stopping ? 2 : 3, -1) < 0)
        return errno == EINTR;
    if (items[0].revents & ZMQ_POLLIN)
        read_control(broker);
    if (items[1].revents & ZMQ_POLLIN)
        read_back(broker);
    if (!broker->stopping && items[2].revents & ZMQ_POLLIN)
        read_front(broker);
    return true;
}

/* With the ZAP handler gone nobody may get in, so the door shuts before anything else. */
static void shut_front(struct broker *broker) {
    struct waiting request;
    struct fault fault;
    fault_set(&fault, "shutting-down", "daemon",
              "The daemon is stopping. Send the request again with the same request id when it is back.");
    while (queue_take(&broker->queue, &request))
        refuse(broker, &request, &fault);
    if (broker->zap_died) {
        zmq_close(broker->front);
        broker->front = NULL;
    } else {
        /* The last replies get half a second to leave; a peer that does not fetch them asks again. The socket
         * stays bound until then: unbinding would end the connections too. */
        int linger = 500;
        zmq_setsockopt(broker->front, ZMQ_LINGER, &linger, sizeof linger);
    }
}

static void stop_workers(struct broker *broker) {
    bool good = true;
    while (good && broker->idle_count < broker->workers_started)
        good = poll_once(broker);
    for (int i = 0; i < broker->workers_started; i++) {
        unsigned char route[2] = {'w', (unsigned char)i};
        send_bytes(broker->back, route, sizeof route, ZMQ_SNDMORE);
        send_bytes(broker->back, BROKER_STOP, strlen(BROKER_STOP), 0);
    }
    for (int i = 0; i < broker->workers_started; i++)
        service_join(&broker->workers[i]);
}

static bool start_workers(struct broker *broker, struct fault *fault) {
    while (broker->workers_started < broker->options.workers) {
        if (!worker_start(broker, broker->workers_started, fault))
            return false;
        broker->workers_started++;
    }
    return true;
}

/* The door opens last, when there is somebody to serve. */
static bool open_sockets(struct broker *broker, struct fault *fault) {
    struct socket_security security = {
        .secret_key = broker->options.plain_key_name == NULL ? broker->options.secret_key : NULL,
        .zap_domain = ZAP_DOMAIN,
        .handshake_ms = broker->options.handshake_ms};
    if (!queue_open(&broker->queue, (size_t)broker->options.queue))
        return fault_memory(fault);
    broker->control = socket_inside(broker->context, ZMQ_PULL, BROKER_CONTROL, true, fault);
    if (broker->control == NULL)
        return false;
    broker->back = socket_inside(broker->context, ZMQ_ROUTER, BROKER_WORKERS, true, fault);
    if (broker->back == NULL || !start_workers(broker, fault))
        return false;
    broker->front = socket_serve(broker->context, ZMQ_ROUTER, &security, broker->options.endpoint,
                                 broker->endpoint, fault);
    return broker->front != NULL;
}

static void close_all(struct broker *broker) {
    broker->stopping = true;
    stop_workers(broker);
    void *const sockets[] = {broker->front, broker->back, broker->control};
    for (size_t i = 0; i < sizeof sockets / sizeof sockets[0]; i++)
        if (sockets[i] != NULL)
            zmq_close(sockets[i]);
    queue_close(&broker->queue);
}

static bool broker_open(void *owner, struct fault *fault) {
    struct broker *broker = owner;
    bool good = open_sockets(broker, fault);
    if (!good)
        close_all(broker);
    /* The caller may forget its strings once this is done. */
    broker->options.endpoint = broker->options.events_endpoint = broker->options.secret_key = NULL;
    broker->options.plain_key_name = NULL;
    return good;
}

static void broker_run(void *owner) {
    struct broker *broker = owner;
    bool good = true;
    while (good && !broker->stopping)
        good = poll_once(broker);
    shut_front(broker);
    close_all(broker);
    if (good && !broker->zap_died)
        return;
    struct fault fault;
    fault_set(&fault, "broken", "wire", "%s; the daemon must not go on.",
              good ? "Nobody checks the clients' keys any more" : "The request socket has failed");
    broker->failed(broker->owner, &fault);
}

bool broker_start(struct broker *broker, struct fault *fault) {
    return service_start(&broker->service, broker_open, broker_run, broker, fault);
}

void broker_stop(struct broker *broker) {
    if (broker->service.running && !atomic_load(&broker->service.ended))
        tell(broker->context, BROKER_CONTROL, BROKER_STOP);
    service_join(&broker->service);
}
