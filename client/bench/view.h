/* The session on a screen, or as plain lines. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_VIEW_H
#define ELLWAND_CLIENT_BENCH_VIEW_H

#include "bench/session.h"
#include "screen.h"

/* What came of the line `given` ("" for none), what is in hand, what to scan next and what comes after it. A terminal is wiped
 * first and gets as much of a list as it has lines for; elsewhere lists come when they are new or asked for. A refusal rings. */
void view_print(const struct screen *screen, const struct bench *bench, const char *given);

#endif
