/* SPDX-License-Identifier: Apache-2.0 */
#include "common/fault.h"

#include "common/text.h"

#include <stdio.h>

bool(fault_set)(struct fault *fault, const char *code, const char *where, const char *format, ...) {
    va_list arguments;
    char message[sizeof fault->message];
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    text_copy(fault->code, sizeof fault->code, code);
    text_copy(fault->where, sizeof fault->where, where);
    text_copy(fault->message, sizeof fault->message, message);
    /* Messages quote what was wrong, and that may be any bytes; a fault must always go into JSON. */
    text_mend(fault->where);
    text_mend(fault->message);
    return false;
}

bool(fault_memory)(struct fault *fault) {
    return fault_set(fault, "out-of-memory", "",
                     "There is not enough memory for this; try a smaller request.");
}
