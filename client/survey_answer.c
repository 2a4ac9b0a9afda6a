/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_answer.h"

#include "survey_choices.h"

#include "common/document.h"
#include "common/text.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- To a value --- */

/* A length below zero has no text form in the document, so it is worked into millimetres here. */
static json_t *length_value(const char *text, const char *unit) {
    char whole[SURVEY_LINE + 8];
    ell_length length;
    bool below = text[0] == '-', bare = strspn(text + below, "0123456789./ ") == strlen(text + below);
    snprintf(whole, sizeof whole, "%s%s%s", text + below, bare ? " " : "", bare ? unit : "");
    if (!ell_length_parse(whole, &length))
        return NULL;
    size_t used = strlen(whole);
    bool millimetres = used > 2 && strcasecmp(whole + used - 2, "mm") == 0;
    if (below || millimetres)
        return document_length(below ? -length : length);
    return json_string(whole);
}

static json_t *number_value(const char *text) {
    char *end;
    size_t length = strlen(text);
    if (length == 0 || length > 15 || strspn(text, "0123456789.-") != length)
        return NULL;
    double number = strtod(text, &end);
    if (*end != '\0' || !isfinite(number))
        return NULL;
    return number == floor(number) ? json_integer((json_int_t)number) : json_real(number);
}

/* "48 1/2 in 120 cm, 900" has three items: a unit or a fraction belongs to the figure before it. */
static size_t next_item(const char **rest, char item[SURVEY_LINE]) {
    size_t used = 0;
    const char *at = *rest + strspn(*rest, " \t,;");
    while (*at != '\0' && *at != ',' && *at != ';') {
        size_t word = strcspn(at, " \t,;");
        bool fraction = memchr(at, '/', word) != NULL, figure = isdigit((unsigned char)*at) || *at == '-';
        bool ends = used > 0 && (!isdigit((unsigned char)item[used - 1]) || strchr(item, '/') != NULL);
        if (used > 0 && figure && (!fraction || ends))
            break;
        used +=
            (size_t)snprintf(item + used, SURVEY_LINE - used, "%s%.*s", used > 0 ? " " : "", (int)word, at);
        item[used] = '\0';
        at += word;
        at += strspn(at, " \t");
    }
    *rest = at;
    return used;
}

static json_t *list_value(const char *text, const char *unit, bool lengths) {
    json_t *list = json_array();
    char item[SURVEY_LINE] = "";
    while (next_item(&text, item) > 0) {
        json_t *value = lengths ? length_value(item, unit) : number_value(item);
        if (value == NULL || json_array_size(list) == SURVEY_ITEMS) {
            json_decref(value);
            json_decref(list);
            return NULL;
        }
        json_array_append_new(list, value);
        item[0] = '\0';
    }
    return list;
}

static json_t *refuse(const struct survey_question *question, const char *text, struct fault *fault) {
    switch (question->kind) {
    case SURVEY_LENGTH:
    case SURVEY_LENGTHS:
        fault_set(fault, "bad-length", question->field,
                  "\"%.60s\" is not %s. Type figures with a point and a unit or none, such as: %s, 183 cm, "
                  "72 1/2 in.",
                  text, question->kind == SURVEY_LENGTH ? "a length" : "a list of lengths",
                  question->example);
        break;
    case SURVEY_NUMBER:
    case SURVEY_NUMBERS:
        fault_set(fault, "bad-number", question->field,
                  "\"%.60s\" is not %s. Type figures with a point where it needs one, such as: %s", text,
                  question->kind == SURVEY_NUMBER ? "a number" : "a list of numbers", question->example);
        break;
    default:
        fault_set(fault, "bad-text", question->field, "This is not plain text (UTF-8).");
    }
    return NULL;
}

json_t *survey_answer_plain(const struct survey_draft *draft, const struct survey_question *question,
                            const char *text, struct fault *fault) {
    json_t *value = NULL;
    switch (question->kind) {
    case SURVEY_LENGTH:
        value = length_value(text, draft->unit);
        break;
    case SURVEY_LENGTHS:
    case SURVEY_NUMBERS:
        value = list_value(text, draft->unit, question->kind == SURVEY_LENGTHS);
        break;
    case SURVEY_NUMBER:
        value = number_value(text);
        break;
    case SURVEY_YES_NO:
        value = json_boolean(strcmp(text, "yes") == 0);
        break;
    default:
        value = text_check(text, SURVEY_LINE) < 0 ? NULL : json_string(text);
    }
    return value != NULL ? value : refuse(question, text, fault);
}

json_t *survey_answer_read(const struct survey_draft *draft, const struct survey_question *question,
                           const char *text, struct fault *fault) {
    struct survey_choices choices;
    struct survey_word choice;
    if (!survey_choices_begin(&choices, draft, question))
        return survey_answer_plain(draft, question, text, fault);
    if (text_check(text, SURVEY_LINE) < 0)
        return fault_set(fault, "bad-text", question->field, "This is not plain text (UTF-8)."), NULL;
    if (!survey_choices_find(draft, question, text, &choice, fault))
        return NULL;
    return survey_answer_plain(draft, question, choice.word, fault);
}

/* --- To what people read --- */

static void add(char text[SURVEY_SHOWN], const char *more) {
    size_t used = strlen(text);
    text_copy(text + used, SURVEY_SHOWN - used, more);
}

static bool length_of(const json_t *value, ell_length *length) {
    const char *given = json_string_value(value);
    return given != NULL ? ell_length_parse(given, length)
                         : json_is_number(value) && ell_length_from_mm(json_number_value(value), length);
}

/* "27 1/2 in, 59 in = 698.5, 1498.6 mm": as given, where one was given in another unit, and as understood. `count` values. */
static void show_lengths(json_t *const values[], size_t count, char text[SURVEY_SHOWN]) {
    char figure[ELL_LENGTH_TEXT];
    ell_length length = 0;
    bool units = false;
    for (size_t i = 0; i < count; i++)
        units = units || json_is_string(values[i]);
    for (size_t i = 0; i < count && units; i++) {
        const char *given = json_string_value(values[i]);
        add(text, i > 0 ? ", " : "");
        if (given == NULL && length_of(values[i], &length))
            add(text, ell_length_text(length, figure));
        add(text, given != NULL ? given : " mm");
    }
    add(text, units ? " = " : "");
    for (size_t i = 0; i < count; i++) {
        add(text, i > 0 ? ", " : "");
        add(text, length_of(values[i], &length) ? ell_length_text(length, figure) : "?");
    }
    add(text, " mm");
}

static void show_one(const json_t *value, char text[SURVEY_SHOWN]) {
    char figure[40];
    if (json_is_number(value)) {
        snprintf(figure, sizeof figure, "%.10g", json_number_value(value));
        add(text, figure);
    } else if (json_is_boolean(value)) {
        add(text, json_is_true(value) ? "yes" : "no");
    } else if (json_is_string(value)) {
        add(text, json_string_value(value));
    }
}

void survey_answer_show(const struct survey_draft *draft, const struct survey_question *question,
                        const json_t *value, char text[SURVEY_SHOWN]) {
    struct survey_word choice;
    json_t *values[SURVEY_ITEMS] = {(json_t *)value};
    size_t count = json_is_array(value) ? json_array_size(value) : value != NULL && !json_is_null(value);
    text[0] = '\0';
    count = count > SURVEY_ITEMS ? SURVEY_ITEMS : count;
    for (size_t i = 0; i < count && json_is_array(value); i++)
        values[i] = json_array_get(value, i);
    if (count > 0 && (question->kind == SURVEY_LENGTH || question->kind == SURVEY_LENGTHS)) {
        show_lengths(values, count, text);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        add(text, i > 0 ? ", " : "");
        show_one(values[i], text);
    }
    if (json_is_string(value) && survey_choices_has(draft, question, text, &choice)) {
        /* names of the document's own words say it all; a code of the catalogue is what people know a thing by */
        bool code = question->kind != SURVEY_WORD && strcasecmp(text, choice.name) != 0;
        text[code ? strlen(text) : 0] = '\0';
        add(text, code ? ", " : "");
        add(text, choice.name);
    }
}
