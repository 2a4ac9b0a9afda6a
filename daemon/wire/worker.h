/* A thread that answers one request at a time through the desk's function.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_WIRE_WORKER_H
#define ELLWAND_WIRE_WORKER_H

#include "wire/broker.h"

/* Starts worker `index` of the broker, which it tells that it is ready. */
bool worker_start(struct broker *broker, int index, struct fault *fault) MUST_CHECK;

#endif
