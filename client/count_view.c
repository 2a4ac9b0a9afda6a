/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"

#include "sheet_file.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

static long long number_of(const char *text) {
    char *rest = NULL;
    long long read = strtoll(text, &rest, 10);
    return rest != text && *rest == '\0' && read > 0 ? read : 0;
}

json_t *count_numbers(const struct program *program, int first) {
    json_t *numbers = json_array();
    for (int i = first; i < program->argument_count; i++) {
        long long number = number_of(program->arguments[i]);
        if (number == 0) {
            program_wrong(program, EXIT_USAGE, program->arguments[i],
                          "This is no number of a stock-take; see them with: ellwand count list");
            json_decref(numbers);
            return NULL;
        }
        json_array_append_new(numbers, json_integer(number));
    }
    return numbers;
}

json_t *count_subject(const struct program *program) {
    const char *text = program->arguments[0];
    if (program_switch(program, "rack"))
        return json_pack("{s:s}", "place", text);
    long long number = number_of(text);
    return number > 0 ? json_pack("{s:I}", "stock_take", (json_int_t)number)
                      : json_pack("{s:s}", "bin", text);
}

static void show_again(const struct program *program, const json_t *answer) {
    static const struct column columns[] = {
        {"part", "part", COLUMN_TEXT}, {"name", "name", COLUMN_TEXT}, {"batch", "batch", COLUMN_TEXT}};
    const json_t *again = json_object_get(answer, "recount");
    if (json_is_true(again))
        screen_text(&program->screen, PAINT_YELLOW,
                    "Something of this place was not found. Please look once more and scan what turns up.\n");
    else if (json_array_size(again) > 0) {
        screen_text(&program->screen, PAINT_YELLOW, "Please count these once more, with care:\n");
        table_print(&program->screen, columns, sizeof columns / sizeof columns[0], again, "");
    }
}

int count_call(struct program *program, const char *verb, json_t *body) {
    static const struct column fields[] = {{"stock-take", "stock_take", COLUMN_NUMBER},
                                           {"is", "state", COLUMN_TEXT},
                                           {"count", "round", COLUMN_NUMBER}};
    json_t *answer = NULL;
    int code = body == NULL ? EXIT_USAGE : program_call(program, verb, body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer)) {
        fields_print(&program->screen, fields, sizeof fields / sizeof fields[0], answer);
        show_again(program, answer);
    }
    json_decref(answer);
    return code;
}

/* Of a stock-take just what the sheet shows. */
static json_t *sheet_of(const json_t *take) {
    json_t *lines = json_array();
    size_t index;
    json_t *line;
    json_array_foreach(json_object_get(take, "lines"), index, line)
        json_array_append_new(lines, json_pack("{s:O, s:O, s:O*, s:O}", "part", json_object_get(line, "part"),
                                               "name", json_object_get(line, "name"), "batch",
                                               json_string_length(json_object_get(line, "batch")) > 0
                                                   ? json_object_get(line, "batch")
                                                   : NULL,
                                               "unit", json_object_get(line, "unit")));
    return json_pack("{s:O, s:O, s:O*, s:O*, s:O*, s:o}", "stock_take", json_object_get(take, "stock_take"),
                     "round", json_object_get(take, "round"), "bin", json_object_get(take, "bin"), "code",
                     json_object_get(take, "code"), "place", json_object_get(take, "place"), "lines", lines);
}

int count_sheet(struct program *program, const json_t *takes, const char *path) {
    json_t *answer = NULL, *sheets = json_array(), *take;
    size_t index;
    char today[11];
    time_t now = time(NULL);
    struct tm parts;
    int code = program_call(program, "count.show", json_pack("{s:O}", "stock_takes", takes), &answer);
    if (code == EXIT_DONE) {
        json_array_foreach(json_object_get(answer, "stock_takes"), index, take)
            json_array_append_new(sheets, sheet_of(take));
        strftime(today, sizeof today, "%Y-%m-%d", localtime_r(&now, &parts));
        json_t *document = json_pack("{s:s, s:O}", "date", today, "stock_takes", sheets);
        code = sheet_file_write(program, "count-sheet", document, path);
        json_decref(document);
    }
    json_decref(sheets);
    json_decref(answer);
    return code;
}
