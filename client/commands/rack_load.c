/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static const char *word(const json_t *row, const char *field) {
    const char *text = json_string_value(json_object_get(row, field));
    return text != NULL ? text : "?";
}

/* Each row is a request of its own; the first that is refused ends it, and says which. */
static int load(struct program *program, const json_t *rows) {
    size_t index, bars = 0;
    json_t *row;
    int code = EXIT_DONE;
    json_array_foreach((json_t *)rows, index, row) {
        json_t *answer = NULL;
        code = program_call(program, "rack.add", json_incref(row), &answer);
        bars += json_array_size(json_object_get(answer, "bars"));
        json_decref(answer);
        if (code != EXIT_DONE) {
            fprintf(program->notices.file, "Row %zu (%s %s) and those after it were not loaded.\n", index + 1,
                    word(row, "system"), word(row, "finish"));
            break;
        }
    }
    if (!program->settings.json)
        fprintf(program->screen.file, "On the rack now: %zu more\n", bars);
    return code;
}

static int run(struct program *program) {
    json_t *document = program_read(program, program->arguments[0]);
    if (document == NULL)
        return EXIT_USAGE;
    int code = json_is_array(document) ? load(program, document)
                                       : program_wrong(program, EXIT_USAGE, program->arguments[0],
                                                       "It must be a list of bars and offcuts.");
    json_decref(document);
    return code;
}

const struct command command_rack_load = {
    .name = "rack load",
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Put all bars and offcuts of a JSON file on the rack",
    .more = "The file is a list of {\"kind\": \"bar\" or \"offcut\", \"system\", \"finish\", \"length\", "
            "\"count\", "
            "\"batch\", \"place\", \"squared\"}.",
    .run = run,
};
