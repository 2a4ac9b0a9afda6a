/* What the threads of the wire must agree on. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_INSIDE_H
#define ELLWAND_WIRE_INSIDE_H

#include <stdint.h>

/* The domain that server sockets name when ZeroMQ asks the ZAP handler about a key. */
#define ZAP_DOMAIN "ellwand"

/* The PULL socket of the broker that takes words: BROKER_STOP from wire_close, BROKER_ZAP_DIED from the ZAP handler. */
#define BROKER_CONTROL "inproc://ellwand.broker"
#define BROKER_STOP "stop"
#define BROKER_ZAP_DIED "zap-died"

/* The ROUTER socket that workers connect to, and what they and the broker say to each other:
 *   worker -> broker: [""] once, ready for work
 *   broker -> worker: [key name][deadline, 8 bytes][verb][request id][body]
 *   worker -> broker: ["ok" or "error"][JSON], and it is ready again
 *   broker -> worker: ["stop"], which is the last
 * Where the reply goes is the broker's to know. */
#define BROKER_WORKERS "inproc://ellwand.workers"
enum { WORK_KEY, WORK_DEADLINE, WORK_VERB, WORK_ID, WORK_BODY, WORK_PARTS };
enum { DONE_STATUS, DONE_JSON, DONE_PARTS };
enum { WORKERS_MOST = 64 };

/* The monotonic clock in milliseconds: never jumps, says nothing of the time of day. */
int64_t monotonic_ms(void);

#endif
