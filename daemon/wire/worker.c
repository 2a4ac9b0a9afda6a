/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/worker.h"

#include "wire/frames.h"
#include "wire/inside.h"
#include "wire/parts.h"

#include <stdlib.h>
#include <string.h>

struct worker {
    struct broker *broker;
    int index;
    void *socket;
};

static bool worker_open(void *owner, struct fault *fault) {
    struct worker *worker = owner;
    unsigned char route[2] = {'w', (unsigned char)worker->index};
    worker->socket = zmq_socket(worker->broker->context, ZMQ_DEALER);
    int linger = 0;
    if (worker->socket != NULL && zmq_setsockopt(worker->socket, ZMQ_ROUTING_ID, route, sizeof route) == 0 &&
        zmq_setsockopt(worker->socket, ZMQ_LINGER, &linger, sizeof linger) == 0 &&
        zmq_connect(worker->socket, BROKER_WORKERS) == 0)
        return true;
    if (worker->socket != NULL)
        zmq_close(worker->socket);
    return fault_set(fault, "out-of-memory", "workers", "A worker cannot be started: %s.",
                     zmq_strerror(zmq_errno()));
}

static void send_done(void *socket, bool good, const char *json) {
    const char *status = good ? "ok" : "error";
    send_bytes(socket, status, strlen(status), ZMQ_SNDMORE);
    send_bytes(socket, json, strlen(json), 0);
}

/* A reply beyond the limit would cut the client's connection again and again; it gets an error instead. */
static bool bound_reply(bool good, char **reply) {
    struct fault fault;
    if (*reply != NULL && strlen(*reply) <= ELL_BODY_MAX)
        return good;
    if (*reply == NULL)
        fault_memory(&fault);
    else
        fault_set(&fault, "too-large", "reply",
                  "The reply has %zu bytes; the most is %zu. Ask for less at a time.", strlen(*reply),
                  ELL_BODY_MAX);
    free(*reply);
    *reply = frames_error(&fault);
    return false;
}

static void answer_work(struct worker *worker, struct parts *work) {
    char key_name[ELL_KEY_NAME_MAX + 1], verb[ELL_VERB_MAX + 1], id[ELL_REQUEST_ID_MAX + 1];
    parts_text(work, WORK_KEY, key_name, sizeof key_name);
    parts_text(work, WORK_VERB, verb, sizeof verb);
    parts_text(work, WORK_ID, id, sizeof id);
    struct wire_request request = {.key_name = key_name,
                                   .verb = verb,
                                   .request_id = id,
                                   .body = parts_bytes(work, WORK_BODY),
                                   .body_size = parts_size(work, WORK_BODY)};
    memcpy(&request.deadline_ms, parts_bytes(work, WORK_DEADLINE), sizeof request.deadline_ms);
    const struct wire_handlers *handlers = worker->broker->handlers;
    char *reply = NULL;
    bool good = bound_reply(handlers->answer(handlers->context, &request, &reply), &reply);
    send_done(worker->socket, good, reply != NULL ? reply : "{}");
    free(reply);
}

static void worker_run(void *owner) {
    struct worker *worker = owner;
    struct parts work;
    send_bytes(worker->socket, "", 0, 0);
    bool working = true;
    while (working && parts_receive(worker->socket, &work, 0)) {
        working = work.count == WORK_PARTS;
        if (working)
            answer_work(worker, &work);
        parts_close(&work);
    }
    zmq_close(worker->socket);
    free(worker);
}

bool worker_start(struct broker *broker, int index, struct fault *fault) {
    struct worker *worker = calloc(1, sizeof *worker);
    if (worker == NULL)
        return fault_memory(fault);
    *worker = (struct worker){.broker = broker, .index = index};
    bool good = service_start(&broker->workers[index], worker_open, worker_run, worker, fault);
    if (!good)
        free(worker);
    return good;
}
