/* The values of a statement's parameters, in order. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_VALUES_H
#define ELLWAND_STORE_VALUES_H

#include "common/fault.h"

#include <jansson.h>
#include <stddef.h>
#include <stdint.h>

enum { STORE_VALUES = 16 };

/* Zero-initialise, fill in the order of $1, $2 ..., and give to store_run, which empties it. What goes wrong
 * while filling (no memory, more than 16) is said by store_run. */
struct store_values {
    int count;
    bool out_of_memory;
    struct {
        const char *borrowed;
        char *owned;
        char number[24];
    } value[STORE_VALUES];
};

/* `text` is borrowed until the statement has run; NULL is null. */
void store_text(struct store_values *values, const char *text);
void store_integer(struct store_values *values, int64_t integer);
void store_boolean(struct store_values *values, bool boolean);
/* Written out at once: `json` stays the caller's. NULL is null. */
void store_json(struct store_values *values, const json_t *json);
void store_null(struct store_values *values);

/* Frees what the values own; they are empty again. */
void store_values_clear(struct store_values *values);
/* Fills `texts` as libpq wants them. Fault "internal" when the count is not `parameters`; `name` is for the
 * message. */
bool store_values_texts(const struct store_values *values, int parameters, const char *name,
                        const char *texts[STORE_VALUES], struct fault *fault) MUST_CHECK;

#endif
