/* SPDX-License-Identifier: Apache-2.0 */
#include "link.h"

#include "error.h"

#include <errno.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zmq.h>

static bool set_number(void *socket, int option, int value) {
    return zmq_setsockopt(socket, option, &value, sizeof value) == 0;
}

static bool set_options(void *socket, const struct link_keys *keys) {
    int64_t largest = 2 * (int64_t)ELL_BODY_MAX;
    bool good = set_number(socket, ZMQ_LINGER, 0) && set_number(socket, ZMQ_RECONNECT_IVL, 100) &&
                set_number(socket, ZMQ_RECONNECT_IVL_MAX, 2000) &&
                set_number(socket, ZMQ_CONNECT_TIMEOUT, 5000) &&
                set_number(socket, ZMQ_HANDSHAKE_IVL, 5000) && set_number(socket, ZMQ_HEARTBEAT_IVL, 2000) &&
                set_number(socket, ZMQ_HEARTBEAT_TIMEOUT, 6000) &&
                zmq_setsockopt(socket, ZMQ_MAXMSGSIZE, &largest, sizeof largest) == 0;
    if (good && keys->server_key[0] != '\0')
        good = zmq_setsockopt(socket, ZMQ_CURVE_SERVERKEY, keys->server_key, ELL_CURVE_TEXT) == 0 &&
               zmq_setsockopt(socket, ZMQ_CURVE_PUBLICKEY, keys->own.public_half, ELL_CURVE_TEXT) == 0 &&
               zmq_setsockopt(socket, ZMQ_CURVE_SECRETKEY, keys->own.secret, ELL_CURVE_TEXT) == 0;
    return good;
}

/* Every socket needs its own name for the watch, also after one was closed: closing takes its time. */
static void *open_monitor(void *context, void *socket) {
    static atomic_uint watches;
    char name[64];
    snprintf(name, sizeof name, "inproc://ellwand.watch.%u", atomic_fetch_add(&watches, 1));
    int events = ZMQ_EVENT_CONNECTED | ZMQ_EVENT_DISCONNECTED | ZMQ_EVENT_HANDSHAKE_SUCCEEDED |
                 ZMQ_EVENT_HANDSHAKE_FAILED_AUTH | ZMQ_EVENT_HANDSHAKE_FAILED_PROTOCOL;
    if (zmq_socket_monitor(socket, name, events) != 0)
        return NULL;
    void *monitor = zmq_socket(context, ZMQ_PAIR);
    if (monitor != NULL && set_number(monitor, ZMQ_LINGER, 0) && zmq_connect(monitor, name) == 0)
        return monitor;
    if (monitor != NULL)
        zmq_close(monitor);
    return NULL;
}

bool link_open(struct link *link, void *context, int type, const char *endpoint, const struct link_keys *keys,
               struct ell_error *error) {
    struct link made = {.socket = zmq_socket(context, type)};
    if (made.socket == NULL)
        return error_memory(error);
    made.monitor = open_monitor(context, made.socket);
    bool good = made.monitor != NULL && set_options(made.socket, keys);
    if (!good)
        error_set(error, ELL_BROKEN, "broken", "", "The socket cannot be prepared: %s.", zmq_strerror(errno));
    else if (!set_number(made.socket, ZMQ_IPV6, strchr(endpoint, '[') != NULL) ||
             zmq_connect(made.socket, endpoint) != 0)
        good = error_set(error, ELL_MISUSE, "bad-endpoint", endpoint,
                         "This is not an address to connect to (%s). One looks like tcp://127.0.0.1:5577.",
                         zmq_strerror(errno));
    if (good)
        *link = made;
    else
        link_close(&made);
    return good;
}

void link_close(struct link *link) {
    if (link->monitor != NULL) {
        zmq_socket_monitor(link->socket, NULL, 0);
        zmq_close(link->monitor);
    }
    if (link->socket != NULL)
        zmq_close(link->socket);
    *link = (struct link){0};
}

static void note(struct link *link, unsigned event) {
    switch (event) {
    case ZMQ_EVENT_CONNECTED:
        link->heard = true;
        break;
    case ZMQ_EVENT_HANDSHAKE_SUCCEEDED:
        link->up = true;
        break;
    case ZMQ_EVENT_DISCONNECTED:
        link->lost = link->lost || link->up;
        link->up = false;
        break;
    case ZMQ_EVENT_HANDSHAKE_FAILED_AUTH:
        link->refused = true;
        break;
    case ZMQ_EVENT_HANDSHAKE_FAILED_PROTOCOL:
        link->mismatched = true;
        break;
    default:
        break;
    }
}

/* A monitor message is the event (16 bits) with its value, then the address. */
static void read_monitor(struct link *link) {
    unsigned char frame[6];
    while (zmq_recv(link->monitor, frame, sizeof frame, ZMQ_DONTWAIT) >= 0) {
        uint16_t event;
        memcpy(&event, frame, sizeof event);
        zmq_recv(link->monitor, frame, sizeof frame, 0);
        note(link, event);
    }
}

bool link_wait(struct link *link, long long timeout_ms) {
    zmq_pollitem_t items[] = {{link->socket, 0, ZMQ_POLLIN, 0}, {link->monitor, 0, ZMQ_POLLIN, 0}};
    if (zmq_poll(items, 2, timeout_ms < 0 ? 0 : (long)timeout_ms) <= 0)
        return false;
    if (items[1].revents & ZMQ_POLLIN)
        read_monitor(link);
    return (items[0].revents & ZMQ_POLLIN) != 0;
}

void link_refresh(struct link *link) {
    read_monitor(link);
    link->lost = false;
    link->heard = link->heard && link->up;
}

bool link_silence(const struct link *link, const char *endpoint, const char *what, struct ell_error *error) {
    if (link->refused)
        return error_set(error, ELL_KEY_REFUSED, "key-refused", endpoint,
                         "The daemon does not know this key or has switched it off. Ask whoever keeps the "
                         "keys to add its public half.");
    if (link->up)
        return error_set(
            error, ELL_TIMEOUT, "timed-out", what,
            "The daemon is there but has not answered in time. Ask again with the same request id.");
    if (link->lost)
        return error_set(
            error, ELL_TIMEOUT, "timed-out", what,
            "The connection was lost and did not come back in time. Ask again with the same request id.");
    if (link->mismatched)
        return error_set(error, ELL_KEY_REFUSED, "other-security", endpoint,
                         "What listens there uses keys otherwise than we do. Check the endpoint, and whether "
                         "a server key is given.");
    if (link->heard)
        return error_set(error, ELL_UNREACHABLE, "no-handshake", endpoint,
                         "Something listens there but does not finish the greeting. Check the server key; or "
                         "the daemon cannot check keys just now.");
    return error_set(error, ELL_UNREACHABLE, "unreachable", endpoint,
                     "Nobody answers there. Check the endpoint, and that the daemon runs.");
}

char *link_frame(struct link *link, size_t *size, bool *more) {
    zmq_msg_t message;
    zmq_msg_init(&message);
    char *text = NULL;
    *more = false;
    if (zmq_msg_recv(&message, link->socket, ZMQ_DONTWAIT) >= 0) {
        *size = zmq_msg_size(&message);
        *more = zmq_msg_more(&message) != 0;
        if (*size <= ELL_BODY_MAX && (text = malloc(*size + 1)) != NULL) {
            memcpy(text, zmq_msg_data(&message), *size);
            text[*size] = '\0';
        }
    }
    zmq_msg_close(&message);
    return text;
}

void link_skip(struct link *link, bool more) {
    size_t size;
    while (more)
        free(link_frame(link, &size, &more));
}
