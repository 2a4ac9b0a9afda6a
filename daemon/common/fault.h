/* The one error type of the whole house, and the one shape of a call that can fail:
 *
 *     bool verb(inputs, outputs, struct fault *fault);
 *
 * False means that it failed, that `fault` says why, and that the outputs are as they were before the call.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_COMMON_FAULT_H
#define ELLWAND_COMMON_FAULT_H

#include <stdarg.h>
#include <stdbool.h>

#define MUST_CHECK __attribute__((warn_unused_result))
#define PRINTF_LIKE(text, first) __attribute__((format(printf, text, first)))

/* `code` is for programs (lower case, words joined by '-', listed in the protocol page), `where` names the
 * place in the input ("windows[2].survey.width") or in the workshop ("bar F17"), `message` says what is wrong
 * and what to do. */
struct fault {
    char code[40];
    char where[160];
    char message[512];
};

/* Fills `fault` (cut to its bounds; what is not printable UTF-8 becomes '?') and returns false, so that one can `return
 * fault_set(...)`. `where` may be "". */
bool fault_set(struct fault *fault, const char *code, const char *where, const char *format, ...)
    PRINTF_LIKE(4, 5);

/* The same for the want of memory. */
bool fault_memory(struct fault *fault);

/* Compiler and analyser see one source at a time and must be told that these never answer true; else they warn of
 * outputs read after a failure. */
static inline bool fault_answer(bool set) {
    (void)set;
    return false;
}
#define fault_set(...) fault_answer((fault_set)(__VA_ARGS__))
#define fault_memory(fault) fault_answer((fault_memory)(fault))

#endif
