/* Requests. SPDX-License-Identifier: Apache-2.0 */
#include "client.h"

#include "error.h"

#include "common/document.h"
#include "common/text.h"

#include <stdlib.h>
#include <string.h>
#include <uuid/uuid.h>
#include <zmq.h>

/* One call on its way. */
struct call {
    struct ell_client *client;
    const char *verb, *json;
    long long deadline, again_at; /* by the monotonic clock */
    long long patience;           /* how long to hear nothing before asking again */
    long long pause;              /* how long to leave a busy daemon alone; doubles each time */
};

enum verdict { UNDECIDED, ANSWERED, FAILED };

static bool check_call(const char *verb, const char *request_id, const char *json, int timeout_ms,
                       struct ell_error *error) {
    if (!ell_verb_valid(verb, strlen(verb)))
        return error_set(error, ELL_MISUSE, "bad-frames", verb,
                         "A verb is 1 to %d characters out of a-z, '.' and '-'.", ELL_VERB_MAX);
    if (request_id != NULL && !ell_word_valid(request_id, strlen(request_id), ELL_REQUEST_ID_MAX))
        return error_set(error, ELL_MISUSE, "bad-frames", "request id",
                         "A request id is 1 to %d letters, digits, '.', '_' or '-'.", ELL_REQUEST_ID_MAX);
    if (json != NULL && strlen(json) > ELL_BODY_MAX)
        return error_set(error, ELL_MISUSE, "too-large", "body",
                         "The body has %zu bytes; the most is %zu. Split it.", strlen(json), ELL_BODY_MAX);
    if (timeout_ms < 0 || timeout_ms > TIMEOUT_MOST_MS)
        return error_set(error, ELL_MISUSE, "out-of-range", "timeout", "A timeout is 0 to 86400000 ms.");
    return true;
}

/* When the socket takes no more (nobody fetches), the deadline ends the call. */
static void send_request(struct call *call) {
    const struct ell_client *client = call->client;
    const char *const frames[] = {ELL_PROTOCOL, call->verb, client->request_id, call->json};
    bool good = true;
    for (size_t i = 0; i < 4 && good; i++)
        good = zmq_send(client->requests.socket, frames[i], strlen(frames[i]),
                        ZMQ_DONTWAIT | (i < 3 ? ZMQ_SNDMORE : 0)) >= 0;
    call->again_at = clock_ms() + call->patience;
}

/* The daemon's error into ours. */
static bool read_refusal(const char *json, size_t size, struct ell_error *error) {
    struct fault fault;
    json_t *tree = document_read(json, size, &document_small, &fault);
    const char *code = json_string_value(json_object_get(tree, "code"));
    const char *where = json_string_value(json_object_get(tree, "where"));
    const char *message = json_string_value(json_object_get(tree, "message"));
    bool unknown = code != NULL && strcmp(code, "outcome-unknown") == 0;
    if (code != NULL && message != NULL)
        error_set(error, unknown ? ELL_TIMEOUT : ELL_REFUSED, code, where != NULL ? where : "", "%s",
                  message);
    else
        error_set(error, ELL_BROKEN, "bad-reply", "error", "The daemon's error is not of this protocol.");
    json_decref(tree);
    return false;
}

/* Not begun, or begun and lost: ask again a little later, under the same id. */
static bool worth_waiting(const struct ell_error *error) {
    static const char *const codes[] = {"busy", "shutting-down", "outcome-unknown"};
    bool worth = false;
    for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
        worth = worth || strcmp(error->code, codes[i]) == 0;
    return worth;
}

static enum verdict judge(struct call *call, const char *status, char **body, size_t size, char **reply,
                          struct ell_error *error) {
    if (strcmp(status, "ok") == 0) {
        *reply = *body;
        *body = NULL;
        return ANSWERED;
    }
    read_refusal(*body, size, error);
    if (!worth_waiting(error) || clock_ms() + call->pause >= call->deadline)
        return FAILED;
    call->again_at = clock_ms() + call->pause;
    call->pause = call->pause < 1000 ? call->pause * 2 : call->pause;
    return UNDECIDED;
}

/* [version][request id][status][JSON]; answers to earlier calls are passed over. */
static enum verdict read_reply(struct call *call, char **reply, struct ell_error *error) {
    enum { VERSION, ID, STATUS, BODY, FRAMES };
    char *frames[FRAMES] = {NULL};
    size_t size[FRAMES] = {0}, count = 0;
    bool more = true;
    while (more && count < FRAMES &&
           (frames[count] = link_frame(&call->client->requests, &size[count], &more)) != NULL)
        count++;
    link_skip(&call->client->requests, more);
    bool whole = count == FRAMES && !more;
    enum verdict verdict = UNDECIDED;
    if (whole && strcmp(frames[VERSION], ELL_PROTOCOL) == 0 &&
        strcmp(frames[ID], call->client->request_id) == 0)
        verdict = judge(call, frames[STATUS], &frames[BODY], size[BODY], reply, error);
    for (size_t i = 0; i < count; i++)
        free(frames[i]);
    return verdict;
}

static enum verdict wait_once(struct call *call, char **reply, struct ell_error *error) {
    struct link *link = &call->client->requests;
    long long now = clock_ms(), until = call->again_at < call->deadline ? call->again_at : call->deadline;
    enum verdict verdict = UNDECIDED;
    if (link_wait(link, until - now))
        verdict = read_reply(call, reply, error);
    if (verdict != UNDECIDED)
        return verdict;
    now = clock_ms();
    if (link->refused || now >= call->deadline) {
        link_silence(link, call->client->endpoint, call->verb, error);
        return FAILED;
    }
    /* What was on its way when the connection broke may be lost: it goes out again under the same id. */
    if ((link->lost && link->up) || now >= call->again_at) {
        link->lost = link->lost && !link->up;
        send_request(call);
    }
    return UNDECIDED;
}

bool ell_client_call(struct ell_client *client, const char *verb, const char *request_id, const char *json,
                     int timeout_ms, char **reply, struct ell_error *error) {
    if (!check_call(verb, request_id, json, timeout_ms, error) || !client_connect(client, error))
        return false;
    if (request_id != NULL) {
        text_copy(client->request_id, sizeof client->request_id, request_id);
    } else {
        uuid_t id;
        uuid_generate(id);
        uuid_unparse_lower(id, client->request_id);
    }
    long long timeout = timeout_ms > 0 ? timeout_ms : client->timeout_ms;
    struct call call = {.client = client,
                        .verb = verb,
                        .json = json != NULL ? json : "{}",
                        .deadline = clock_ms() + timeout,
                        .patience = timeout / 3 + 1,
                        .pause = 50};
    link_refresh(&client->requests);
    send_request(&call);
    enum verdict verdict = UNDECIDED;
    while (verdict == UNDECIDED)
        verdict = wait_once(&call, reply, error);
    /* After a refusal of the key ZeroMQ tries no more, and what nobody fetched must not go out behind our
     * back later: the next call begins anew. */
    if (verdict == FAILED && !client->requests.up)
        link_close(&client->requests);
    return verdict == ANSWERED;
}
