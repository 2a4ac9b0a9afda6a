/* SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_LIBRARY_ERROR_H
#define ELLWAND_CLIENT_LIBRARY_ERROR_H

#include <ellwand/client.h>
#include <time.h>

/* Fills `error` (cut to its bounds) and returns false. */
bool error_set(struct ell_error *error, enum ell_failure failure, const char *code, const char *where,
               const char *format, ...) __attribute__((format(printf, 5, 6)));
bool error_memory(struct ell_error *error);

/* Milliseconds of the monotonic clock. */
long long clock_ms(void);

#endif
