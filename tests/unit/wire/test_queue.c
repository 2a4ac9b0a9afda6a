/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/queue.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static void fill(struct waiting *request, const char *key_name, char mark, size_t body) {
    *request = (struct waiting){.deadline_ms = mark};
    snprintf(request->key_name, sizeof request->key_name, "%s", key_name);
    zmq_msg_init_size(&request->route, 1);
    *(char *)zmq_msg_data(&request->route) = mark;
    zmq_msg_init(&request->verb);
    zmq_msg_init(&request->id);
    zmq_msg_init_size(&request->body, body);
}

static bool put(struct queue *queue, const char *key_name, char mark, size_t body) {
    struct waiting request;
    fill(&request, key_name, mark, body);
    request.digest = (uint64_t)mark;
    bool taken = queue_put(queue, &request);
    if (!taken)
        waiting_close(&request);
    return taken;
}

static char take(struct queue *queue) {
    struct waiting request;
    if (!queue_take(queue, &request))
        return '-';
    char mark = *(char *)zmq_msg_data(&request.route);
    cr_assert_eq(request.deadline_ms, mark);
    waiting_close(&request);
    return mark;
}

Test(queue, first_come_first_served_round_and_round) {
    struct queue queue;
    cr_assert(queue_open(&queue, 4));
    for (char mark = 'a'; mark < 'q'; mark++) {
        cr_assert(put(&queue, "one", mark, 3));
        cr_assert(put(&queue, "two", (char)(mark + 32), 5));
        cr_assert_eq(take(&queue), mark);
        cr_assert_eq(take(&queue), (char)(mark + 32));
        cr_assert_eq(take(&queue), '-');
        cr_assert_eq(queue.bytes, 0);
    }
    queue_close(&queue);
}

Test(queue, no_key_holds_more_than_half) {
    struct queue queue;
    cr_assert(queue_open(&queue, 4));
    cr_assert(put(&queue, "wild", 'a', 0));
    cr_assert(put(&queue, "wild", 'b', 0));
    cr_assert(!put(&queue, "wild", 'c', 0));
    cr_assert(put(&queue, "calm", 'd', 0));
    cr_assert(put(&queue, "third", 'e', 0));
    cr_assert(!put(&queue, "fourth", 'f', 0), "the queue holds four");
    cr_assert_eq(take(&queue), 'a');
    cr_assert(put(&queue, "wild", 'g', 0));
    queue_close(&queue);
}

Test(queue, bounds_bytes) {
    struct queue queue;
    cr_assert(queue_open(&queue, 1000));
    size_t taken = 0;
    while (taken < 1000 && put(&queue, "one", 'a', ELL_BODY_MAX))
        taken++;
    cr_assert_eq(taken, QUEUE_BYTES_MAX / ELL_BODY_MAX);
    cr_assert(put(&queue, "one", 'b', 0));
    cr_assert_eq(take(&queue), 'a');
    cr_assert(put(&queue, "one", 'c', ELL_BODY_MAX));
    queue_close(&queue); /* what still waits is freed: the leak checker watches */
}

static void ask(struct waiting *request, const char *key_name, const char *id, const char *verb,
                const char *body, char mark) {
    *request = (struct waiting){.deadline_ms = mark};
    snprintf(request->key_name, sizeof request->key_name, "%s", key_name);
    const struct {
        zmq_msg_t *frame;
        const char *text;
    } frames[] = {{&request->id, id}, {&request->verb, verb}, {&request->body, body}};
    for (size_t i = 0; i < 3; i++) {
        zmq_msg_init_size(frames[i].frame, strlen(frames[i].text));
        memcpy(zmq_msg_data(frames[i].frame), frames[i].text, strlen(frames[i].text));
    }
    zmq_msg_init_size(&request->route, 1);
    *(char *)zmq_msg_data(&request->route) = mark;
    request->digest = waiting_digest(&request->verb, &request->body);
}

Test(queue, finds_the_same_request_and_no_other) {
    static const struct {
        const char *key_name, *id, *verb, *body;
        bool same;
    } later[] = {
        {"saw", "r-1", "order.take", "{}", true},   {"desk", "r-1", "order.take", "{}", false},
        {"saw", "r-2", "order.take", "{}", false},  {"saw", "r-1", "order.hold", "{}", false},
        {"saw", "r-1", "order.take", "{ }", false}, {"saw", "r-1", "order.tak", "e{}", false},
        {"saw", "r-11", "order.take", "{}", false},
    };
    for (size_t i = 0; i < sizeof later / sizeof later[0]; i++) {
        struct queue queue;
        struct waiting first, second;
        cr_assert(queue_open(&queue, 4));
        ask(&first, "saw", "r-1", "order.take", "{}", 'a');
        ask(&second, later[i].key_name, later[i].id, later[i].verb, later[i].body, 'b');
        cr_assert(put(&queue, "other", 'x', 3));
        cr_assert(queue_put(&queue, &first));
        struct waiting *twin = queue_find(&queue, &second);
        cr_assert_eq(twin != NULL, later[i].same, "case %zu", i);
        if (twin != NULL)
            waiting_follow(twin, &second);
        waiting_close(&second);
        cr_assert_eq(take(&queue), 'x');
        cr_assert_eq(take(&queue), later[i].same ? 'b' : 'a', "the answer goes to the wrong peer");
        queue_close(&queue);
    }
}

Test(queue, a_queue_of_one_serves_one) {
    struct queue queue;
    cr_assert(queue_open(&queue, 1));
    cr_assert(put(&queue, "one", 'a', 1));
    cr_assert(!put(&queue, "two", 'b', 1));
    cr_assert_eq(take(&queue), 'a');
    cr_assert(put(&queue, "two", 'b', 1));
    queue_close(&queue);
}

/* A full queue of a large size answers a flood in a small part of a millisecond each, so it cannot be used to keep the
 * daemon busy. */
Test(queue, a_full_one_is_looked_through_quickly) {
    enum { MOST = 20000, FLOOD = 200 };
    struct queue queue;
    struct timespec begun, ended;
    cr_assert(queue_open(&queue, MOST));
    for (int i = 0; i < MOST; i++)
        cr_assert(put(&queue, i % 2 ? "one" : "two", 'a', 0));
    clock_gettime(CLOCK_MONOTONIC, &begun);
    for (int i = 0; i < FLOOD; i++) {
        struct waiting request;
        fill(&request, "one", 'b', 0);
        request.digest = 77;
        cr_assert_null(queue_find(&queue, &request));
        cr_assert(!queue_put(&queue, &request));
        waiting_close(&request);
    }
    clock_gettime(CLOCK_MONOTONIC, &ended);
    double ms = (double)(ended.tv_sec - begun.tv_sec) * 1e3 + (double)(ended.tv_nsec - begun.tv_nsec) / 1e6;
    cr_assert_lt(ms / FLOOD, 5, "%.3f ms each", ms / FLOOD);
    queue_close(&queue);
}
