/* SPDX-License-Identifier: Apache-2.0 */
#include "store/values.h"

#include "common/document.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

/* The slot of the next value; one too many is only counted. */
static int take(struct store_values *values) {
    int slot = values->count++;
    return slot < STORE_VALUES ? slot : -1;
}

void store_text(struct store_values *values, const char *text) {
    int slot = take(values);
    if (slot >= 0)
        values->value[slot].borrowed = text;
}

void store_null(struct store_values *values) {
    store_text(values, NULL);
}

void store_boolean(struct store_values *values, bool boolean) {
    store_text(values, boolean ? "t" : "f");
}

void store_integer(struct store_values *values, int64_t integer) {
    int slot = take(values);
    if (slot >= 0)
        snprintf(values->value[slot].number, sizeof values->value[slot].number, "%" PRId64, integer);
}

void store_json(struct store_values *values, const json_t *json) {
    int slot = take(values);
    if (slot < 0 || json == NULL)
        return;
    values->value[slot].owned = json_dumps(json, DOCUMENT_COMPACT);
    if (values->value[slot].owned == NULL)
        values->out_of_memory = true;
}

void store_values_clear(struct store_values *values) {
    for (int i = 0; i < STORE_VALUES; i++)
        free(values->value[i].owned);
    *values = (struct store_values){0};
}

bool store_values_texts(const struct store_values *values, int parameters, const char *name,
                        const char *texts[STORE_VALUES], struct fault *fault) {
    if (values->count != parameters)
        return fault_set(fault, "internal", name, "The statement takes %d values, not %d.", parameters,
                         values->count);
    if (values->out_of_memory)
        return fault_memory(fault);
    for (int i = 0; i < values->count; i++)
        texts[i] = values->value[i].owned != NULL       ? values->value[i].owned
                   : values->value[i].number[0] != '\0' ? values->value[i].number
                                                        : values->value[i].borrowed;
    return true;
}
