/* A session driven: lines from standard input, questions to the daemon, answers on the screen.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_DRIVE_H
#define ELLWAND_CLIENT_BENCH_DRIVE_H

#include "command.h"

/* Until standard input ends, END is typed or a signal comes. `unit` is what numbers typed without one are in. An exit code:
 * EXIT_REFUSED when a line of a pipe was refused. */
int drive_session(struct program *program, const char *unit);

#endif
