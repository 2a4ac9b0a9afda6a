/* The running daemon: from its configuration to its last thread. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_SERVICE_H
#define ELLWAND_SERVICE_H

#include "common/fault.h"
#include "configuration.h"

/* Whether it could run: the log level, the file's mode where it holds a password, the key file, the fonts, and the database
 * with its schema and workshop. Faults of those, each with what to do. */
bool service_check(const struct configuration *configuration, struct fault *fault) MUST_CHECK;

/* Runs until SIGTERM or SIGINT (a second one ends the process at once), or until the wire gives up. False and
 * fault when it could not start or had to stop. */
bool service_run(const struct configuration *configuration, struct fault *fault) MUST_CHECK;

#endif
