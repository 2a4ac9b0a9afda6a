/* SPDX-License-Identifier: Apache-2.0 */
/* Lines as somebody may type them into the guided entry, each ended by a line feed. An input that begins with "{" is an
 * order to go on with, whose windows are gone through as they are. */
#include "survey_entry.h"
#include "common/document.h"
#include "demo.h"
#include "fuzz.h"
#include "takeoff/order_file.h"

#include <string.h>

enum { LINES = 160, RESUMES = 7 }; /* so many lines; each so many one stops and goes on */

/* What is finished is always an order that its reader takes. */
static void check_document(const struct survey_entry *entry) {
    struct fault fault;
    json_t *document = survey_entry_document(entry);
    struct order_file *read = order_file_read(document, &fault);
    must(read);
    order_file_free(read);
    json_decref(document);
}

/* Stopping and going on asks the same question among the same answers. */
static void check_resume(const struct survey_entry *entry) {
    struct survey_entry other;
    struct survey_asked asked, again;
    json_t *document = json_array_size(entry->windows) > 0 ? survey_entry_document(entry) : NULL;
    json_t *begun = survey_entry_begun(entry);
    survey_entry_begin(&other, entry->catalogue, document);
    must(survey_entry_resume(&other, begun));
    survey_entry_asked(entry, &asked);
    survey_entry_asked(&other, &again);
    must(asked.question == again.question && asked.item == again.item && asked.number == again.number &&
         asked.of == again.of && strcmp(asked.standing, again.standing) == 0);
    survey_entry_end(&other);
    json_decref(begun);
    json_decref(document);
}

static void check(const struct survey_entry *entry, size_t lines) {
    struct survey_asked asked;
    survey_entry_asked(entry, &asked);
    must(asked.number >= 1 && asked.number <= asked.of);
    if (json_array_size(entry->windows) > 0)
        check_document(entry);
    if (lines % RESUMES == 0 && survey_entry_is_begun(entry))
        check_resume(entry);
}

static void type_lines(struct survey_entry *entry, const uint8_t *data, size_t size) {
    char line[SURVEY_LINE + 1];
    size_t lines = 0;
    while (size > 0 && lines++ < LINES) {
        const uint8_t *end = memchr(data, '\n', size);
        size_t length = end ? (size_t)(end - data) : size, kept = length < SURVEY_LINE ? length : SURVEY_LINE;
        struct fault fault = {0};
        memcpy(line, data, kept);
        line[kept] = '\0';
        enum survey_outcome outcome = survey_entry_line(entry, line, &fault);
        must(outcome != SURVEY_WRONG || (fault.code[0] && fault.message[0]));
        if (outcome == SURVEY_WINDOW)
            must(entry->takeoff);
        check(entry, lines);
        data += length + (end ? 1 : 0);
        size -= length + (end ? 1 : 0);
    }
}

static void go_through(struct survey_entry *entry, const json_t *order) {
    size_t at;
    json_t *window;
    json_array_foreach(json_object_get(order, "windows"), at, window) {
        struct fault fault;
        must(survey_entry_change(entry, json_string_value(json_object_get(window, "window"))));
        for (size_t i = 0; i < LINES && survey_entry_line(entry, "", &fault) == SURVEY_TAKEN; i++)
            check(entry, i);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct survey_entry entry;
    struct fault fault;
    json_t *order =
        size > 0 && data[0] == '{' ? document_read((const char *)data, size, &document_small, &fault) : NULL;
    struct order_file *read = order ? order_file_read(order, &fault) : NULL;
    survey_entry_begin(&entry, demo_catalogue(), read ? order : NULL);
    if (read && read->window_count < 4)
        go_through(&entry, order);
    else if (!order)
        type_lines(&entry, data, size);
    order_file_free(read);
    json_decref(order);
    survey_entry_end(&entry);
    return 0;
}
