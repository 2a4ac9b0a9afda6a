/* A tree, field by field. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "common/text.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

void form_open(struct form *form, const json_t *json, const char *path, struct fault *fault) {
    *form = (struct form){.object = json, .fault = fault};
    text_copy(form->path, sizeof form->path, path);
    if (!json_is_object(json)) {
        form->failed = true;
        fault_set(fault, "wrong-type", path, "An object { } is wanted here.");
    }
}

char *form_below(const struct form *form, const char *name, long index, char path[128]) {
    const char *dot = form->path[0] ? "." : "";
    char whole[320];
    if (index < 0)
        snprintf(whole, sizeof whole, "%s%s%s", form->path, dot, name);
    else
        snprintf(whole, sizeof whole, "%s%s%s[%ld]", form->path, dot, name, index);
    text_copy(path, 128, whole);
    return path;
}

void form_wrong(struct form *form, const char *name, const char *code, const char *format, ...) {
    if (form->failed)
        return;
    char where[128], message[sizeof form->fault->message];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    form->failed = true;
    fault_set(form->fault, code, form_below(form, name, -1, where), "%s", message);
}

/* The field's value, NULL when absent or null; remembers that the name is a known one. */
static const json_t *field(struct form *form, const char *name) {
    if (form->failed)
        return NULL;
    bool seen = false;
    for (size_t i = 0; i < form->known_count; i++)
        seen = seen || strcmp(form->known[i], name) == 0;
    if (!seen && form->known_count < FORM_FIELDS)
        form->known[form->known_count++] = name;
    const json_t *value = json_object_get(form->object, name);
    return json_is_null(value) ? NULL : value;
}

enum { NAME_MOST = 40 };

/* How many letters must be put in, taken out or changed to make one name of the other (Levenshtein, 1966). Both are
 * at most NAME_MOST long. */
static size_t slips(const char *one, const char *other) {
    size_t row[NAME_MOST + 1], length = strlen(other);
    for (size_t j = 0; j <= length; j++)
        row[j] = j;
    for (size_t i = 1; one[i - 1] != '\0'; i++) {
        size_t before = row[0];
        row[0] = i;
        for (size_t j = 1; j <= length; j++) {
            size_t changed = before + (one[i - 1] != other[j - 1]),
                   least = row[j] < row[j - 1] ? row[j] : row[j - 1];
            before = row[j];
            row[j] = changed < least + 1 ? changed : least + 1;
        }
    }
    return row[length];
}

/* The object's own field that looks like a misspelt `name`; NULL when there is none. */
static const char *misspelt(const struct form *form, const char *name) {
    const char *given;
    json_t *value;
    size_t length = strlen(name), most = length < 5 ? 1 : 2;
    json_object_foreach((json_t *)form->object, given, value) {
        if (length > 2 && length <= NAME_MOST && strlen(given) <= NAME_MOST && slips(given, name) <= most)
            return given;
    }
    return NULL;
}

static const json_t *wanted(struct form *form, const char *name) {
    const json_t *value = field(form, name);
    if (value != NULL || form->failed)
        return value;
    const char *meant = json_object_get(form->object, name) == NULL ? misspelt(form, name) : NULL;
    if (meant != NULL)
        form_wrong(form, name, "missing-field",
                   "The field is missing; it must be given. Is \"%s\" meant for it?", meant);
    else
        form_wrong(form, name, "missing-field", "The field is missing; it must be given.");
    return NULL;
}

bool form_has(struct form *form, const char *name) {
    return field(form, name) != NULL;
}

bool form_close(struct form *form) {
    if (form->failed)
        return false;
    const char *name;
    json_t *value;
    json_object_foreach((json_t *)form->object, name, value) {
        bool known = false;
        for (size_t i = 0; i < form->known_count && !known; i++)
            known = strcmp(form->known[i], name) == 0;
        if (known)
            continue;
        char list[320] = "";
        for (size_t i = 0; i < form->known_count; i++) {
            size_t used = strlen(list);
            snprintf(list + used, sizeof list - used, "%s%s", i ? ", " : "", form->known[i]);
        }
        form_wrong(form, name, "unknown-field", "No field has this name here. Those known are: %s.", list);
        return false;
    }
    return true;
}

static ell_length length_of(struct form *form, const char *name, const json_t *value, ell_length least,
                            ell_length most) {
    ell_length length = 0;
    if (value == NULL || form->failed)
        return 0;
    bool read = json_is_number(value)   ? ell_length_from_mm(json_number_value(value), &length)
                : json_is_string(value) ? ell_length_parse(json_string_value(value), &length)
                                        : false;
    char low[ELL_LENGTH_TEXT], high[ELL_LENGTH_TEXT], given[ELL_LENGTH_TEXT];
    if (!read) {
        form_wrong(form, name, "bad-length",
                   "A length is wanted: millimetres with at most one decimal, or a text such as \"183 cm\".");
        return 0;
    }
    if (length < least || length > most) {
        form_wrong(form, name, "out-of-range",
                   "%s mm is outside %s to %s mm. Check the measure and its unit.",
                   ell_length_text(length, given), ell_length_text(least, low), ell_length_text(most, high));
        return 0;
    }
    return length;
}

ell_length form_length(struct form *form, const char *name, ell_length least, ell_length most) {
    return length_of(form, name, wanted(form, name), least, most);
}

ell_length form_length_or(struct form *form, const char *name, ell_length least, ell_length most,
                          ell_length otherwise) {
    const json_t *value = field(form, name);
    return value == NULL ? otherwise : length_of(form, name, value, least, most);
}

static int64_t integer_of(struct form *form, const char *name, const json_t *value, int64_t least,
                          int64_t most) {
    if (value == NULL || form->failed)
        return 0;
    double real = json_number_value(value);
    bool whole = json_is_integer(value) || (json_is_real(value) && real == floor(real) && fabs(real) < 9e15);
    if (!whole) {
        form_wrong(form, name, "wrong-type", "A whole number is wanted here.");
        return 0;
    }
    int64_t number = json_is_integer(value) ? (int64_t)json_integer_value(value) : (int64_t)real;
    if (number < least || number > most) {
        form_wrong(form, name, "out-of-range", "%" PRId64 " is outside %" PRId64 " to %" PRId64 ".", number,
                   least, most);
        return 0;
    }
    return number;
}

int64_t form_integer(struct form *form, const char *name, int64_t least, int64_t most) {
    return integer_of(form, name, wanted(form, name), least, most);
}

int64_t form_integer_or(struct form *form, const char *name, int64_t least, int64_t most, int64_t otherwise) {
    const json_t *value = field(form, name);
    return value == NULL ? otherwise : integer_of(form, name, value, least, most);
}

static double number_of(struct form *form, const char *name, const json_t *value, double least, double most) {
    if (value == NULL || form->failed)
        return 0;
    double number = json_number_value(value);
    if (!json_is_number(value))
        form_wrong(form, name, "wrong-type", "A number is wanted here.");
    else if (!(number >= least && number <= most))
        form_wrong(form, name, "out-of-range", "%g is outside %g to %g.", number, least, most);
    return form->failed ? 0 : number;
}

double form_number(struct form *form, const char *name, double least, double most) {
    return number_of(form, name, wanted(form, name), least, most);
}

double form_number_or(struct form *form, const char *name, double least, double most, double otherwise) {
    const json_t *value = field(form, name);
    return value == NULL ? otherwise : number_of(form, name, value, least, most);
}

bool form_boolean_or(struct form *form, const char *name, bool otherwise) {
    const json_t *value = field(form, name);
    if (value == NULL)
        return otherwise;
    if (!json_is_boolean(value))
        form_wrong(form, name, "wrong-type", "true or false is wanted here.");
    return json_is_true(value);
}

static void text_of(struct form *form, const char *name, const json_t *value, char *text, size_t size) {
    text[0] = '\0';
    if (value == NULL || form->failed)
        return;
    const char *given = json_string_value(value);
    if (given == NULL)
        form_wrong(form, name, "wrong-type", "A text in quotes is wanted here.");
    else if (given[0] == '\0')
        form_wrong(form, name, "missing-field", "The text is empty; it must be given.");
    else if (strlen(given) != json_string_length(value) || text_check(given, (size_t)-1) < 0)
        form_wrong(form, name, "bad-text", "The text holds control characters; leave them out.");
    else if (strlen(given) >= size)
        form_wrong(form, name, "too-large", "The text has %zu bytes; the most is %zu.", strlen(given),
                   size - 1);
    else
        text_copy(text, size, given);
}

void form_text(struct form *form, const char *name, char *text, size_t size) {
    text_of(form, name, wanted(form, name), text, size);
}

void form_text_or(struct form *form, const char *name, char *text, size_t size, const char *otherwise) {
    const json_t *value = field(form, name);
    if (value == NULL)
        text_copy(text, size, otherwise);
    else
        text_of(form, name, value, text, size);
}

/* The number that `count` digits stand for, -1 when one of them is no digit. */
static int digits(const char *text, int count) {
    int number = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return -1;
        number = number * 10 + (text[i] - '0');
    }
    return number;
}

void form_date_or(struct form *form, const char *name, char text[11], const char *otherwise) {
    static const int days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const json_t *value = field(form, name);
    text_copy(text, 11, otherwise);
    if (value == NULL)
        return;
    const char *given = json_string_value(value);
    bool shaped = given != NULL && strlen(given) == 10 && given[4] == '-' && given[7] == '-';
    int year = shaped ? digits(given, 4) : -1;
    int month = shaped ? digits(given + 5, 2) : -1;
    int day = shaped ? digits(given + 8, 2) : -1;
    if (year < 1900 || month < 1 || month > 12 || day < 1 || day > days[month - 1] ||
        (month == 2 && day == 29 && (year % 4 != 0 || (year % 100 == 0 && year % 400 != 0))))
        form_wrong(form, name, "bad-date", "A date such as \"2026-11-30\" is wanted here.");
    else
        text_copy(text, 11, given);
}

int form_choice_or(struct form *form, const char *name, const char *const choices[], int otherwise) {
    const json_t *value = field(form, name);
    if (value == NULL || form->failed)
        return otherwise;
    const char *given = json_string_value(value);
    char list[320] = "";
    for (int i = 0; choices[i] != NULL; i++) {
        if (given != NULL && strcmp(given, choices[i]) == 0)
            return i;
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", i ? ", " : "", choices[i]);
    }
    form_wrong(form, name, "unknown-choice", "One of these is wanted here: %s.", list);
    return otherwise;
}

int form_choice(struct form *form, const char *name, const char *const choices[]) {
    return wanted(form, name) == NULL ? 0 : form_choice_or(form, name, choices, 0);
}

const json_t *form_array(struct form *form, const char *name, size_t least, size_t most) {
    const json_t *value = least > 0 ? wanted(form, name) : field(form, name);
    if (value == NULL)
        return NULL;
    if (!json_is_array(value))
        form_wrong(form, name, "wrong-type", "A list [ ] is wanted here.");
    else if (json_array_size(value) < least || json_array_size(value) > most)
        form_wrong(form, name, "out-of-range", "The list has %zu items; %zu to %zu are taken.",
                   json_array_size(value), least, most);
    return form->failed ? NULL : value;
}

const json_t *form_object(struct form *form, const char *name) {
    const json_t *value = field(form, name);
    if (value != NULL && !json_is_object(value))
        form_wrong(form, name, "wrong-type", "An object { } is wanted here.");
    return form->failed ? NULL : value;
}
