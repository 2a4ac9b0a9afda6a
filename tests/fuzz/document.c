/* SPDX-License-Identifier: Apache-2.0 */
/* The decoder every byte from outside goes through first: JSON within bounds, then a form read field by
 * field. */
#include "common/document.h"
#include "fuzz.h"

#include <stdlib.h>
#include <string.h>

static void must(bool holds) {
    if (!holds)
        abort();
}

/* A length that was taken is within its bounds and reads back from what is written for it. */
static void check_length(const json_t *object) {
    struct fault fault = {0};
    struct form form;
    form_open(&form, object, "input", &fault);
    ell_length length = form_length_or(&form, "length", 10, 1000000, 10);
    if (form.failed) {
        must(fault.code[0] && fault.message[0]);
        return;
    }
    must(length >= 10 && length <= 1000000);
    json_t *again = json_pack("{s:o}", "length", document_length(length));
    must(again);
    struct form second;
    form_open(&second, again, "", &fault);
    must(form_length(&second, "length", 10, 1000000) == length && form_close(&second));
    json_decref(again);
}

static void check_form(const json_t *object) {
    static const char *const choices[] = {"face", "top", NULL};
    struct fault fault = {0};
    struct form form;
    char text[16];
    char date[11];
    char below[128];
    form_open(&form, object, "input", &fault);
    form_text_or(&form, "text", text, sizeof text, "");
    form_date_or(&form, "date", date, "2026-01-01");
    int64_t integer = form_integer_or(&form, "integer", -5, 5, 0);
    double number = form_number_or(&form, "number", 0, 1, 0.5);
    form_boolean_or(&form, "boolean", true);
    int choice = form_choice_or(&form, "choice", choices, 0);
    const json_t *items = form_array(&form, "items", 0, 4);
    const json_t *nested = form_object(&form, "nested");
    form_below(&form, "items", 3, below);
    if (form_close(&form)) {
        must(strlen(text) < sizeof text && strlen(date) == 10);
        must(integer >= -5 && integer <= 5 && number >= 0 && number <= 1 && (choice == 0 || choice == 1));
        must(!items || json_array_size(items) <= 4);
        if (nested)
            check_form(nested);
    } else {
        must(fault.code[0] && fault.message[0]);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const struct document_limits limits = {.bytes = 65536, .depth = 16, .values = 1000};
    struct fault fault = {0};
    json_t *json = document_read((const char *)data, size, &limits, &fault);
    if (!json) {
        must(fault.code[0] && fault.message[0]);
        return 0;
    }
    check_length(json);
    check_form(json);
    json_decref(json);
    return 0;
}
