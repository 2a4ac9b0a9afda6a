/* The running daemon: from its configuration to its last thread. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_SERVICE_H
#define ELLWAND_SERVICE_H

#include "common/fault.h"
#include "configuration.h"

/* Runs until SIGTERM or SIGINT (a second one ends the process at once), or until the wire gives up. False and
 * fault when it could not start or had to stop. */
bool service_run(const struct configuration *configuration, struct fault *fault) MUST_CHECK;

#endif
