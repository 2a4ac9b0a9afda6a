/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"

static int show(struct program *program, const json_t *answer) {
    const json_t *takes = json_object_get(answer, "stock_takes");
    const char *sheet = program_option(program, "sheet");
    size_t index;
    json_t *take;
    if (!program_json(program, answer)) {
        fputs("Open:", program->screen.file);
        json_array_foreach((json_t *)takes, index, take)
            fprintf(program->screen.file, " stock-take %" JSON_INTEGER_FORMAT, json_integer_value(take));
        putc('\n', program->screen.file);
    }
    return sheet == NULL ? EXIT_DONE : count_sheet(program, takes, sheet);
}

static int run(struct program *program) {
    int64_t percent, value;
    if (!program_number(program, "percent", 0, 1000, -1, &percent) ||
        !program_number(program, "value", 0, 1000000000, -1, &value))
        return EXIT_USAGE;
    json_t *names = json_array(), *answer = NULL;
    for (int i = 0; i < program->argument_count; i++)
        json_array_append_new(names, json_string(program->arguments[i]));
    json_t *body = json_pack("{s:o}", program_switch(program, "rack") ? "places" : "bins", names);
    if (percent >= 0)
        json_object_set_new(body, "percent", json_integer(percent));
    if (value >= 0)
        json_object_set_new(body, "value", json_integer(value));
    int code = program_call(program, "count.open", body, &answer);
    if (code == EXIT_DONE)
        code = show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"rack", NULL, "These are places of the rack, not bins"},
    {"sheet", "FILE", "Draw the count sheets into this PDF file, a page for each place"},
    {"percent", "NUMBER", "Count again what differs by more than so much of the books [5] .."},
    {"value", "NUMBER", ".. and by more than this value, in minor units [500]"},
    {0}};

const struct command command_count_open = {
    .name = "count open",
    .group = GROUP_STORES,
    .arguments = "BIN...",
    .least = 1,
    .most = 200,
    .summary = "Begin a stock-take of bins, or of places of the rack",
    .more = "A bin is its code, or the code on its label. The sheet does not say how many there should be. "
            "Work goes on "
            "meanwhile: a count is compared with the books of the moment it was made.",
    .options = options,
    .run = run,
};
