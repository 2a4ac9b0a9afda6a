/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/reply.h"

#include "wire/inside.h"
#include "wire/parts.h"

#include <ellwand/version.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static void reply_head(void *front, zmq_msg_t *route, bool delimited) {
    send_message(front, route, ZMQ_SNDMORE);
    if (delimited)
        send_bytes(front, "", 0, ZMQ_SNDMORE);
    send_bytes(front, ELL_PROTOCOL, strlen(ELL_PROTOCOL), ZMQ_SNDMORE);
}

static void reply_text(void *front, zmq_msg_t *route, bool delimited, struct frame id, const char *status,
                       char *text) {
    const char *json = text != NULL ? text : "{}";
    reply_head(front, route, delimited);
    send_bytes(front, id.bytes, id.size, ZMQ_SNDMORE);
    send_bytes(front, status, strlen(status), ZMQ_SNDMORE);
    send_bytes(front, json, strlen(json), 0);
    free(text);
}

void reply_fault(void *front, zmq_msg_t *route, bool delimited, struct frame id, const struct fault *fault) {
    reply_text(front, route, delimited, id, "error", frames_error(fault));
}

void reply_ping(void *front, zmq_msg_t *route, bool delimited, struct frame id, const struct ping *ping) {
    json_t *json =
        json_pack("{s:s, s:s, s:s, s:s, s:s, s:i, s:i, s:i}", "daemon", "ellwandd", "version", ELL_VERSION,
                  "protocol", ELL_PROTOCOL, "key", ping->key_name, "events", ping->events_endpoint, "workers",
                  ping->workers, "busy", ping->busy, "waiting", ping->waiting);
    reply_text(front, route, delimited, id, "ok", json_dumps(json, JSON_COMPACT));
    json_decref(json);
}

void reply_done(void *front, zmq_msg_t *route, bool delimited, struct frame id, zmq_msg_t done[]) {
    reply_head(front, route, delimited);
    send_bytes(front, id.bytes, id.size, ZMQ_SNDMORE);
    send_message(front, &done[DONE_STATUS], ZMQ_SNDMORE);
    send_message(front, &done[DONE_JSON], 0);
}
