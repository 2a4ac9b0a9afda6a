/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/parts.h"

#include <ellwand/protocol.h>
#include <errno.h>
#include <stdint.h>
#include <string.h>

/* Messages that may wait for one peer in each direction; what a slow peer does not fetch is dropped, and it
 * asks again. */
enum { PEER_MESSAGES = 64 };

static bool receive_one(void *socket, zmq_msg_t *message, int flags) {
    zmq_msg_init(message);
    while (zmq_msg_recv(message, socket, flags) < 0) {
        if (errno == EINTR)
            continue;
        zmq_msg_close(message);
        return false;
    }
    return true;
}

bool parts_receive(void *socket, struct parts *parts, int flags) {
    parts->count = parts->kept = 0;
    bool more = true;
    while (more) {
        zmq_msg_t surplus, *message = parts->kept < PARTS_MOST ? &parts->messages[parts->kept] : &surplus;
        /* All frames of a message arrive together, so only the first can be missing. */
        if (!receive_one(socket, message, parts->count == 0 ? flags : 0)) {
            parts_close(parts);
            return false;
        }
        more = zmq_msg_more(message) != 0;
        parts->count++;
        if (message == &surplus)
            zmq_msg_close(message);
        else
            parts->kept++;
    }
    return true;
}

void parts_close(struct parts *parts) {
    for (size_t i = 0; i < parts->kept; i++)
        zmq_msg_close(&parts->messages[i]);
    parts->count = parts->kept = 0;
}

const char *parts_bytes(struct parts *parts, size_t index) {
    return index < parts->kept ? zmq_msg_data(&parts->messages[index]) : "";
}

size_t parts_size(struct parts *parts, size_t index) {
    return index < parts->kept ? zmq_msg_size(&parts->messages[index]) : 0;
}

void parts_text(struct parts *parts, size_t index, char *text, size_t size) {
    size_t count = parts_size(parts, index);
    if (count > size - 1)
        count = size - 1;
    memcpy(text, parts_bytes(parts, index), count);
    text[count] = '\0';
}

bool send_bytes(void *socket, const void *bytes, size_t size, int flags) {
    int sent;
    do
        sent = zmq_send(socket, bytes, size, flags | ZMQ_DONTWAIT);
    while (sent < 0 && errno == EINTR);
    return sent >= 0;
}

bool send_message(void *socket, zmq_msg_t *message, int flags) {
    int sent;
    do
        sent = zmq_msg_send(message, socket, flags | ZMQ_DONTWAIT);
    while (sent < 0 && errno == EINTR);
    return sent >= 0;
}

static bool set_number(void *socket, int option, int value) {
    return zmq_setsockopt(socket, option, &value, sizeof value) == 0;
}

static bool set_security(void *socket, const struct socket_security *security) {
    bool good =
        zmq_setsockopt(socket, ZMQ_ZAP_DOMAIN, security->zap_domain, strlen(security->zap_domain)) == 0;
    if (security->secret_key != NULL)
        good = good && set_number(socket, ZMQ_CURVE_SERVER, 1) &&
               zmq_setsockopt(socket, ZMQ_CURVE_SECRETKEY, security->secret_key, ELL_CURVE_TEXT) == 0;
    return good;
}

/* IPv6 only where it is written, so that an IPv4 endpoint is told as it was given. */
static bool set_family(void *socket, const char *endpoint) {
    return set_number(socket, ZMQ_IPV6, strchr(endpoint, '[') != NULL);
}

static bool set_limits(void *socket, int handshake_ms) {
    int64_t largest = 2 * (int64_t)ELL_BODY_MAX;
    return zmq_setsockopt(socket, ZMQ_MAXMSGSIZE, &largest, sizeof largest) == 0 &&
           set_number(socket, ZMQ_HANDSHAKE_IVL, handshake_ms) &&
           set_number(socket, ZMQ_HEARTBEAT_IVL, 5000) && set_number(socket, ZMQ_HEARTBEAT_TIMEOUT, 15000) &&
           set_number(socket, ZMQ_HEARTBEAT_TTL, 20000) && set_number(socket, ZMQ_SNDHWM, PEER_MESSAGES) &&
           set_number(socket, ZMQ_RCVHWM, PEER_MESSAGES) && set_number(socket, ZMQ_BACKLOG, 256) &&
           set_number(socket, ZMQ_LINGER, 0);
}

void *socket_serve(void *context, int type, const struct socket_security *security, const char *endpoint,
                   char bound[256], struct fault *fault) {
    void *socket = zmq_socket(context, type);
    if (socket == NULL || !set_security(socket, security) || !set_limits(socket, security->handshake_ms) ||
        !set_family(socket, endpoint)) {
        fault_set(fault, "bad-option", endpoint, "The socket cannot be prepared: %s.", zmq_strerror(errno));
    } else if (zmq_bind(socket, endpoint) != 0) {
        fault_set(fault, "bad-endpoint", endpoint,
                  "The daemon cannot listen here: %s. Choose another address or port, or stop who has it.",
                  zmq_strerror(errno));
    } else {
        size_t size = 256;
        if (zmq_getsockopt(socket, ZMQ_LAST_ENDPOINT, bound, &size) == 0)
            return socket;
        fault_set(fault, "bad-endpoint", endpoint, "The address is too long.");
    }
    if (socket != NULL)
        zmq_close(socket);
    return NULL;
}

void *socket_inside(void *context, int type, const char *endpoint, bool bind, struct fault *fault) {
    void *socket = zmq_socket(context, type);
    if (socket != NULL && set_number(socket, ZMQ_LINGER, 0) &&
        (bind ? zmq_bind(socket, endpoint) : zmq_connect(socket, endpoint)) == 0)
        return socket;
    fault_set(fault, "out-of-memory", endpoint, "A socket between threads cannot be made: %s.",
              zmq_strerror(errno));
    if (socket != NULL)
        zmq_close(socket);
    return NULL;
}

void tell(void *context, const char *endpoint, const char *word) {
    struct fault fault;
    void *socket = socket_inside(context, ZMQ_PUSH, endpoint, false, &fault);
    if (socket == NULL)
        return;
    set_number(socket, ZMQ_LINGER, 1000); /* closing must not take the word back */
    send_bytes(socket, word, strlen(word), 0);
    zmq_close(socket);
}
