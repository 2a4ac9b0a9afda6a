/* SPDX-License-Identifier: Apache-2.0 */
#include "error.h"

#include "common/text.h"

#include <stdarg.h>
#include <stdio.h>

bool error_set(struct ell_error *error, enum ell_failure failure, const char *code, const char *where,
               const char *format, ...) {
    char message[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    error->failure = failure;
    text_copy(error->code, sizeof error->code, code);
    text_copy(error->where, sizeof error->where, where);
    text_copy(error->message, sizeof error->message, message);
    return false;
}

bool error_memory(struct ell_error *error) {
    return error_set(error, ELL_BROKEN, "out-of-memory", "", "There is not enough memory for this.");
}

long long clock_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}
