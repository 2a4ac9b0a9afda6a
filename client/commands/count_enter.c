/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"
#include "stores_view.h"

#include <string.h>

/* PART=QUANTITY or PART:BATCH=QUANTITY as a line; NULL after saying what is wrong. */
static json_t *line_of(const struct program *program, const char *text) {
    const char *equals = strrchr(text, '=');
    if (equals == NULL || equals == text) {
        program_wrong(program, EXIT_USAGE, text, "Give PART=QUANTITY, or PART:BATCH=QUANTITY.");
        return NULL;
    }
    json_t *counted = quantity_read(program, equals + 1);
    if (counted == NULL)
        return NULL;
    const char *colon = memchr(text, ':', (size_t)(equals - text));
    size_t length = (size_t)((colon == NULL ? equals : colon) - text);
    json_t *batch = colon == NULL ? NULL : json_stringn(colon + 1, (size_t)(equals - colon - 1));
    return json_pack("{s:o, s:o*, s:o}", "part", json_stringn(text, length), "batch", batch, "counted",
                     counted);
}

/* A bar or offcut: its code, or SYSTEM:FINISH:LENGTH of one without a label. */
static bool add_bar(const struct program *program, const char *text, json_t *body) {
    const char *first = strchr(text, ':'), *second = first == NULL ? NULL : strchr(first + 1, ':');
    if (first == NULL)
        return json_array_append_new(json_object_get(body, "bars"), json_string(text)) == 0;
    if (second == NULL) {
        program_wrong(program, EXIT_USAGE, text,
                      "Give the code on the label, or SYSTEM:FINISH:LENGTH where there is none.");
        return false;
    }
    return json_array_append_new(
               json_object_get(body, "loose"),
               json_pack("{s:o, s:o, s:s}", "system", json_stringn(text, (size_t)(first - text)), "finish",
                         json_stringn(first + 1, (size_t)(second - first - 1)), "length", second + 1)) == 0;
}

static bool add_all(const struct program *program, json_t *body) {
    bool rack = program_switch(program, "rack");
    if (rack) {
        json_object_set_new(body, "bars", json_array());
        json_object_set_new(body, "loose", json_array());
    } else {
        json_object_set_new(body, "lines", json_array());
    }
    for (int i = 1; i < program->argument_count; i++) {
        if (rack && !add_bar(program, program->arguments[i], body))
            return false;
        json_t *line = rack ? NULL : line_of(program, program->arguments[i]);
        if (!rack && (line == NULL || json_array_append_new(json_object_get(body, "lines"), line) != 0))
            return false;
    }
    return true;
}

static int run(struct program *program) {
    json_t *body = count_subject(program);
    if (body == NULL || !add_all(program, body)) {
        json_decref(body);
        return EXIT_USAGE;
    }
    if (program_option(program, "at") != NULL)
        json_object_set_new(body, "at", json_string(program_option(program, "at")));
    json_object_set_new(body, "done", json_boolean(!program_switch(program, "more")));
    return count_call(program, "count.enter", body);
}

static const struct command_option options[] = {
    {"rack", NULL, "The place is one of the rack: give codes, or SYSTEM:FINISH:LENGTH of what has no label"},
    {"more", NULL, "There is more to come: do not end the count yet"},
    {"at", "TIME", "When it was counted, as in 2026-11-30T08:15:00Z [now]"},
    {0}};

const struct command command_count_enter = {
    .name = "count enter",
    .group = GROUP_STORES,
    .arguments = "PLACE [PART[:BATCH]=QUANTITY...]",
    .least = 1,
    .most = 200,
    .summary = "Enter what was counted in a bin, or at a place of the rack",
    .more = "PLACE is the bin's code, the code on its label, or the number of the stock-take. The last "
            "figure for a part "
            "holds. Where much differs the answer asks for another count.",
    .options = options,
    .run = run,
};
