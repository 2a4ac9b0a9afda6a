/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

enum { ROWS_A_REQUEST = 500 };

/* All or nothing up to 500 rows; a longer file goes in parts, and the first that is refused ends it and says so. */
static int load(struct program *program, const json_t *rows) {
    size_t bars = 0, done = 0;
    int code = EXIT_DONE;
    while (done < json_array_size(rows) && code == EXIT_DONE) {
        json_t *answer = NULL, *part = json_array();
        for (size_t i = 0; i < ROWS_A_REQUEST && done + i < json_array_size(rows); i++)
            json_array_append(part, json_array_get(rows, done + i));
        size_t count = json_array_size(part);
        code = program_call(program, "rack.load", json_pack("{s:o}", "bars", part), &answer);
        if (code == EXIT_DONE)
            program_json(program, answer);
        bars += json_array_size(json_object_get(answer, "bars"));
        json_decref(answer);
        if (code != EXIT_DONE)
            fprintf(program->notices.file, "Rows %zu to %zu%s were not loaded.\n", done + 1, done + count,
                    done + count < json_array_size(rows) ? " and all after them" : "");
        done += count;
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
    .group = GROUP_SAW,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Put all bars and offcuts of a JSON file on the rack",
    .more = "The file is a list of {\"kind\": \"bar\" or \"offcut\", \"system\", \"finish\", \"length\", "
            "\"count\", "
            "\"batch\", \"place\", \"squared\"}. Up to 500 rows go in all or none, and their labels in one "
            "batch.",
    .run = run,
};
