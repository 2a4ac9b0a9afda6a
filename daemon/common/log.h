/* What the daemon says on standard error: one line each, with a level that the journal understands.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_COMMON_LOG_H
#define ELLWAND_COMMON_LOG_H

#include "common/fault.h"

enum log_level { LOG_LEVEL_ERROR, LOG_LEVEL_NOTICE, LOG_LEVEL_DEBUG };

/* Lines above this level are left out. Set once at start, before there are threads. */
void log_set_level(enum log_level level);
bool log_level_named(const char *name, enum log_level *level) MUST_CHECK;

/* Whole lines, never mixed, from any thread. Control characters in what is printed become '?'. */
void log_line(enum log_level level, const char *format, ...) PRINTF_LIKE(2, 3);
/* "what: place: message (code)". */
void log_fault(const char *what, const struct fault *fault);

#endif
