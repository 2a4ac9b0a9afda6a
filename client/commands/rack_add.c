/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"

static int add(struct program *program, ell_length length, int64_t count) {
    static const struct column columns[] = {{"code", "code", COLUMN_TEXT}};
    char text[ELL_LENGTH_TEXT];
    json_t *body = json_pack(
        "{s:s, s:s, s:s, s:s, s:I, s:s*, s:s*, s:s*, s:b}", "kind",
        program_switch(program, "offcut") ? "offcut" : "bar", "system", program->arguments[0], "finish",
        program->arguments[1], "length", ell_length_text(length, text), "count", (json_int_t)count, "batch",
        program_option(program, "batch"), "place", program_option(program, "place"), "reason",
        program_option(program, "reason"), "squared", program_switch(program, "squared"));
    json_t *answer = NULL;
    int code = program_call(program, "rack.add", body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer)) {
        table_print(&program->screen, columns, 1, json_object_get(answer, "bars"), "");
        labels_view(&program->screen, answer);
    }
    json_decref(answer);
    return code;
}

static int run(struct program *program) {
    ell_length length;
    int64_t count;
    if (!ell_length_parse(program->arguments[2], &length))
        return program_wrong(program, EXIT_USAGE, program->arguments[2], "This is not a length.");
    if (!program_number(program, "count", 1, 500, 1, &count))
        return EXIT_USAGE;
    return add(program, length, count);
}

static const struct command_option options[] = {
    {"offcut", NULL, "An offcut that was found, not a bar as bought"},
    {"count", "NUMBER", "So many alike [1]"},
    {"batch", "BATCH", "Finish batch, as the maker marked it"},
    {"place", "PLACE", "Where it lies"},
    {"squared", NULL, "Its lead end is square already"},
    {"reason", "TEXT", "Where it comes from, for the history"},
    {0}};

const struct command command_rack_add = {
    .name = "rack add",
    .group = GROUP_SAW,
    .arguments = "SYSTEM FINISH LENGTH",
    .least = 3,
    .most = 3,
    .summary = "Put bars that came in, or an offcut that was found, on the rack",
    .options = options,
    .run = run,
};
