/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

#include <ellwand/length.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

json_t *quantity_read(const struct program *program, const char *text) {
    char *end = NULL;
    double number = strtod(text, &end);
    ell_length length;
    if (end != text && *end == '\0' && isfinite(number))
        return number == floor(number) && fabs(number) < 9e15 ? json_integer((json_int_t)number)
                                                              : json_real(number);
    if (ell_length_parse(text, &length))
        return length % ELL_MM == 0 ? json_integer(length / ELL_MM) : json_real((double)length / ELL_MM);
    program_wrong(program, EXIT_USAGE, text, "This is neither a number nor a length.");
    return NULL;
}

/* The number before "box" or "boxes"; 0 when the text is none of that. */
static long long boxes_read(const char *text) {
    char *end = NULL;
    long long count = strtoll(text, &end, 10);
    end += strspn(end, " ");
    return end != text && count > 0 && (strcmp(end, "box") == 0 || strcmp(end, "boxes") == 0) ? count : 0;
}

json_t *receipt_line(const struct program *program, char *const words[3]) {
    long long boxes = boxes_read(words[2]);
    json_t *count = boxes > 0 ? json_integer(boxes) : quantity_read(program, words[2]);
    return count == NULL ? NULL
                         : json_pack("{s:s, s:s, s:o, s:s*}", "part", words[0], "bin", words[1],
                                     boxes > 0 ? "boxes" : "quantity", count, "batch",
                                     program_option(program, "batch"));
}

void kit_view(const struct program *program, const json_t *kit) {
    static const struct column fields[] = {{"kit", "kit", COLUMN_TEXT},
                                           {"order", "order", COLUMN_TEXT},
                                           {"window", "window", COLUMN_TEXT},
                                           {"state", "state", COLUMN_TEXT},
                                           {"order is", "order_state", COLUMN_TEXT},
                                           {"lines to pick", "left", COLUMN_COUNT},
                                           {"pieces to match", "pieces_left", COLUMN_NUMBER}};
    fields_print(&program->screen, fields, sizeof fields / sizeof fields[0], kit);
}

int kit_call(struct program *program, const char *verb, json_t *body) {
    json_t *answer = NULL;
    int code = body == NULL ? EXIT_USAGE : program_call(program, verb, body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer)) {
        json_t *kit = json_object_get(answer, "kit");
        kit_view(program, json_is_object(kit) ? kit : answer);
    }
    json_decref(answer);
    return code;
}

int kit_call_each(struct program *program, const char *verb) {
    int code = EXIT_DONE;
    for (int i = 0; i < program->argument_count && code == EXIT_DONE; i++)
        code = kit_call(program, verb,
                        json_pack("{s:s, s:s*}", "kit", program->arguments[i], "reason",
                                  program_option(program, "reason")));
    return code;
}

static void show_handed_on(const struct program *program, const json_t *handed) {
    static const struct column columns[] = {{"order", "order", COLUMN_TEXT},
                                            {"window", "window", COLUMN_TEXT},
                                            {"part", "part", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"short", "short", COLUMN_LENGTH}};
    static const struct column instead[] = {
        {"order", "order", COLUMN_TEXT},         {"window", "window", COLUMN_TEXT},
        {"takes", "instead", COLUMN_TEXT},       {"name", "name", COLUMN_TEXT},
        {"quantity", "quantity", COLUMN_LENGTH}, {"instead of", "part", COLUMN_TEXT}};
    static const struct column back[] = {
        {"order", "order", COLUMN_TEXT},         {"window", "window", COLUMN_TEXT},
        {"takes", "part", COLUMN_TEXT},          {"gives back", "instead", COLUMN_TEXT},
        {"quantity", "quantity", COLUMN_LENGTH}, {"name", "name", COLUMN_TEXT}};
    const json_t *orders = json_object_get(handed, "orders"), *still = json_object_get(handed, "short");
    size_t index;
    json_t *order;
    if (json_array_size(orders) > 0) {
        fputs("Handed on to:", program->screen.file);
        json_array_foreach((json_t *)orders, index, order) {
            putc(' ', program->screen.file);
            screen_text(&program->screen, PAINT_BOLD, json_string_value(order));
        }
        putc('\n', program->screen.file);
    }
    if (json_array_size(json_object_get(handed, "instead")) > 0) {
        screen_text(&program->screen, PAINT_PLAIN, "Substitutes are set aside:\n");
        table_print(&program->screen, instead, sizeof instead / sizeof instead[0],
                    json_object_get(handed, "instead"), "");
    }
    if (json_array_size(json_object_get(handed, "first_choice")) > 0) {
        screen_text(&program->screen, PAINT_PLAIN, "The part of first choice is set aside again:\n");
        table_print(&program->screen, back, sizeof back / sizeof back[0],
                    json_object_get(handed, "first_choice"), "");
    }
    if (json_array_size(still) > 0) {
        screen_text(&program->screen, PAINT_YELLOW, "Still short of these parts:\n");
        table_print(&program->screen, columns, sizeof columns / sizeof columns[0], still, "");
    }
}

void stock_view(const struct program *program, const json_t *answer) {
    static const struct column lost[] = {
        {"kit", "kit", COLUMN_TEXT},       {"order", "order", COLUMN_TEXT},
        {"window", "window", COLUMN_TEXT}, {"part", "part", COLUMN_TEXT},
        {"name", "name", COLUMN_TEXT},     {"quantity", "quantity", COLUMN_LENGTH}};
    fprintf(program->screen.file, "Booked: %" JSON_INTEGER_FORMAT "\n",
            json_integer_value(json_object_get(answer, "entries")));
    if (json_array_size(json_object_get(answer, "given_up")) > 0) {
        screen_text(&program->screen, PAINT_YELLOW, "These kits lost what was set aside for them:\n");
        table_print(&program->screen, lost, sizeof lost / sizeof lost[0], json_object_get(answer, "given_up"),
                    "");
    }
    show_handed_on(program, json_object_get(answer, "handed_on"));
}

int stock_call(struct program *program, const char *verb, json_t *body) {
    json_t *answer = NULL;
    int code = body == NULL ? EXIT_USAGE : program_call(program, verb, body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        stock_view(program, answer);
    json_decref(answer);
    return code;
}
