/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/frames.h"

#include <criterion/criterion.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static struct frame frame(const char *text) {
    return (struct frame){text, strlen(text)};
}

static bool is(struct frame frame, const char *text) {
    return frame.size == strlen(text) && memcmp(frame.bytes, text, frame.size) == 0;
}

Test(frames, reads_a_dealer_and_a_req) {
    struct frame frames[] = {frame(""), frame("ELLWAND1"), frame("order.take"), frame("r-1"),
                             frame("{\"a\":1}")};
    struct request_frames request;
    struct fault fault = {0};
    cr_assert(frames_read(frames, 5, &request, &fault), "%s", fault.message);
    cr_assert(request.delimited);
    cr_assert(frames_read(frames + 1, 4, &request, &fault), "%s", fault.message);
    cr_assert(!request.delimited);
    cr_assert(is(request.verb, "order.take"));
    cr_assert(is(request.id, "r-1"));
    cr_assert(is(request.body, "{\"a\":1}"));
}

Test(frames, an_empty_body_is_an_empty_object) {
    struct frame frames[] = {frame("ELLWAND1"), frame("ping"), frame("r"), frame("")};
    struct request_frames request;
    struct fault fault = {0};
    cr_assert(frames_read(frames, 4, &request, &fault), "%s", fault.message);
    cr_assert(is(request.body, "{}"));
}

/* Each wrong message with the code and the place that its error must name. */
Test(frames, names_the_wrong_frame) {
    static char long_verb[ELL_VERB_MAX + 2], long_id[ELL_REQUEST_ID_MAX + 2];
    memset(long_verb, 'a', sizeof long_verb - 1);
    memset(long_id, '7', sizeof long_id - 1);
    const struct {
        const char *version, *verb, *id, *code, *where;
    } wrong[] = {
        {"ELLWAND2", "ping", "r", "wrong-version", "frame 1, version"},
        {"ELLWAND1 ", "ping", "r", "wrong-version", "frame 1, version"},
        {"ELLWAND1", "Ping", "r", "bad-frames", "frame 2, verb"},
        {"ELLWAND1", "", "r", "bad-frames", "frame 2, verb"},
        {"ELLWAND1", "a_b", "r", "bad-frames", "frame 2, verb"},
        {"ELLWAND1", long_verb, "r", "bad-frames", "frame 2, verb"},
        {"ELLWAND1", "ping", "", "bad-frames", "frame 3, request id"},
        {"ELLWAND1", "ping", "r/1", "bad-frames", "frame 3, request id"},
        {"ELLWAND1", "ping", "\xC3\xA9", "bad-frames", "frame 3, request id"},
        {"ELLWAND1", "ping", long_id, "bad-frames", "frame 3, request id"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct frame frames[] = {frame(wrong[i].version), frame(wrong[i].verb), frame(wrong[i].id),
                                 frame("{}")};
        struct request_frames request;
        struct fault fault = {0};
        cr_assert(!frames_read(frames, 4, &request, &fault), "message %zu was taken", i);
        cr_assert_str_eq(fault.code, wrong[i].code, "message %zu: %s", i, fault.code);
        cr_assert_str_eq(fault.where, wrong[i].where, "message %zu: %s", i, fault.where);
        bool id_good = strcmp(fault.where, "frame 3, request id") != 0;
        cr_assert_eq(request.id.size, id_good ? strlen(wrong[i].id) : 0,
                     "message %zu: the id is lost or made up", i);
    }
}

Test(frames, counts_frames) {
    struct frame frames[] = {frame("ELLWAND1"), frame("ping"), frame("r"),
                             frame("{}"),       frame("more"), frame("x")};
    static const size_t wrong[] = {0, 1, 2, 3, 5, 6, 1000};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct request_frames request;
        struct fault fault = {0};
        cr_assert(!frames_read(frames, wrong[i], &request, &fault), "%zu frames were taken", wrong[i]);
        cr_assert_str_eq(fault.code, "bad-frames");
        cr_assert_str_eq(fault.where, "message");
    }
}

Test(frames, verb_and_id_may_have_their_full_length) {
    char verb[ELL_VERB_MAX + 1] = {0}, id[ELL_REQUEST_ID_MAX + 1] = {0};
    memset(verb, 'z', ELL_VERB_MAX);
    memset(id, 'Z', ELL_REQUEST_ID_MAX);
    struct frame frames[] = {frame("ELLWAND1"), frame(verb), frame(id), frame("{}")};
    struct request_frames request;
    struct fault fault = {0};
    cr_assert(frames_read(frames, 4, &request, &fault), "%s", fault.message);
}

Test(frames, bounds_the_body) {
    char *body = calloc(1, ELL_BODY_MAX + 1);
    struct frame frames[] = {frame("ELLWAND1"), frame("ping"), frame("r"), {body, ELL_BODY_MAX + 1}};
    struct request_frames request;
    struct fault fault = {0};
    cr_assert(!frames_read(frames, 4, &request, &fault));
    cr_assert_str_eq(fault.code, "too-large");
    cr_assert_str_eq(fault.where, "frame 4, body");
    frames[3].size = ELL_BODY_MAX;
    cr_assert(frames_read(frames, 4, &request, &fault));
    free(body);
}

Test(frames, an_error_is_json_whatever_it_says) {
    struct fault fault = {0};
    fault_set(&fault, "bad-json", "a\"b", "\xE2\x80\x9Cno\xE2\x80\x9D \\ and a\ttab");
    char *text = frames_error(&fault);
    json_t *error = json_loads(text, 0, NULL);
    cr_assert_not_null(error, "%s", text);
    cr_assert_str_eq(json_string_value(json_object_get(error, "where")), "a\"b");
    cr_assert_str_eq(json_string_value(json_object_get(error, "message")), fault.message);
    json_decref(error);
    free(text);
}
