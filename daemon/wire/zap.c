/* SPDX-License-Identifier: Apache-2.0 */
#include "wire/zap.h"

#include "common/log.h"
#include "wire/inside.h"
#include "wire/parts.h"

#include <errno.h>
#include <string.h>

#define CONTROL "inproc://ellwand.zap"

/* Between two lines of the log about clients that were not let in. */
enum { LOG_PAUSE_MS = 1000 };

/* A question: version, request id, domain, address, identity, mechanism, and for CURVE the key (32 bytes). */
enum { ASKED_VERSION, ASKED_ID, ASKED_DOMAIN, ASKED_ADDRESS, ASKED_IDENTITY, ASKED_MECHANISM, ASKED_KEY };

static bool frame_is(struct parts *parts, size_t index, const char *text) {
    return parts_size(parts, index) == strlen(text) &&
           memcmp(parts_bytes(parts, index), text, strlen(text)) == 0;
}

static enum wire_key judge(const struct zap *zap, struct parts *question, char name[ELL_KEY_NAME_MAX + 1]) {
    if (!frame_is(question, ASKED_VERSION, "1.0") || !frame_is(question, ASKED_DOMAIN, ZAP_DOMAIN))
        return WIRE_KEY_REFUSED;
    if (zap->plain_key_name != NULL) {
        strncpy(name, zap->plain_key_name, ELL_KEY_NAME_MAX);
        return frame_is(question, ASKED_MECHANISM, "NULL") ? WIRE_KEY_KNOWN : WIRE_KEY_REFUSED;
    }
    if (!frame_is(question, ASKED_MECHANISM, "CURVE") || parts_size(question, ASKED_KEY) != 32)
        return WIRE_KEY_REFUSED;
    char public_key[ELL_CURVE_TEXT];
    unsigned char key[32];
    memcpy(key, parts_bytes(question, ASKED_KEY), sizeof key);
    zmq_z85_encode(public_key, key, sizeof key);
    return zap->handlers->key_known(zap->handlers->context, public_key, name);
}

/* version, request id, status, reason, user id, metadata. A status of 300 makes the peer try again, 400 makes
 * it stop. */
static bool reply(struct zap *zap, struct parts *question, enum wire_key verdict, const char *name) {
    bool in = verdict == WIRE_KEY_KNOWN;
    const char *status = in ? "200" : verdict == WIRE_KEY_LATER ? "300" : "400";
    const char *reason = in                          ? ""
                         : verdict == WIRE_KEY_LATER ? "Try again later"
                                                     : "This key is not known here";
    return send_bytes(zap->asked, "1.0", 3, ZMQ_SNDMORE) &&
           send_bytes(zap->asked, parts_bytes(question, ASKED_ID), parts_size(question, ASKED_ID),
                      ZMQ_SNDMORE) &&
           send_bytes(zap->asked, status, 3, ZMQ_SNDMORE) &&
           send_bytes(zap->asked, reason, strlen(reason), ZMQ_SNDMORE) &&
           send_bytes(zap->asked, name, in ? strlen(name) : 0, ZMQ_SNDMORE) &&
           send_bytes(zap->asked, "", 0, 0);
}

/* Who knocks without a key is worth a line, but no flood of lines. */
static void log_refusal(struct zap *zap, struct parts *question, enum wire_key verdict) {
    if (monotonic_ms() < zap->quiet_until_ms)
        return;
    char address[64];
    parts_text(question, ASKED_ADDRESS, address, sizeof address);
    log_line(LOG_LEVEL_NOTICE, "%s a client at %s",
             verdict == WIRE_KEY_LATER ? "cannot check the key of" : "refused the key of", address);
    zap->quiet_until_ms = monotonic_ms() + LOG_PAUSE_MS;
}

static bool answer_question(struct zap *zap) {
    struct parts question;
    if (!parts_receive(zap->asked, &question, 0))
        return false;
    char name[ELL_KEY_NAME_MAX + 1] = "";
    enum wire_key verdict = judge(zap, &question, name);
    name[ELL_KEY_NAME_MAX] = '\0';
    if (verdict == WIRE_KEY_KNOWN && !ell_word_valid(name, strlen(name), ELL_KEY_NAME_MAX))
        verdict = WIRE_KEY_REFUSED; /* a key without a name could not be told from a missing handler */
    if (verdict != WIRE_KEY_KNOWN)
        log_refusal(zap, &question, verdict);
    bool answered = reply(zap, &question, verdict, name);
    parts_close(&question);
    return answered;
}

static bool zap_open(void *owner, struct fault *fault) {
    struct zap *zap = owner;
    zap->control = socket_inside(zap->context, ZMQ_PULL, CONTROL, true, fault);
    if (zap->control == NULL)
        return false;
    zap->asked = socket_inside(zap->context, ZMQ_REP, "inproc://zeromq.zap.01", true, fault);
    if (zap->asked == NULL)
        zmq_close(zap->control);
    return zap->asked != NULL;
}

static void zap_run(void *owner) {
    struct zap *zap = owner;
    bool good = true, stopping = false;
    while (good && !stopping) {
        zmq_pollitem_t items[] = {{zap->asked, 0, ZMQ_POLLIN, 0}, {zap->control, 0, ZMQ_POLLIN, 0}};
        if (zmq_poll(items, 2, -1) < 0) {
            good = errno == EINTR;
            continue;
        }
        stopping = (items[1].revents & ZMQ_POLLIN) != 0;
        if (items[0].revents & ZMQ_POLLIN)
            good = answer_question(zap);
    }
    zmq_close(zap->asked);
    if (!stopping)
        tell(zap->context, BROKER_CONTROL, BROKER_ZAP_DIED);
    zmq_close(zap->control);
}

bool zap_start(struct zap *zap, struct fault *fault) {
    return service_start(&zap->service, zap_open, zap_run, zap, fault);
}

void zap_stop(struct zap *zap) {
    if (zap->service.running && !atomic_load(&zap->service.ended))
        tell(zap->context, CONTROL, "stop");
    service_join(&zap->service);
}
