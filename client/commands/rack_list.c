/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static void view(const struct screen *screen, const json_t *rack) {
    static const struct column columns[] = {
        {"code", "code", COLUMN_TEXT},       {"kind", "kind", COLUMN_TEXT},
        {"system", "system", COLUMN_TEXT},   {"finish", "finish", COLUMN_TEXT},
        {"length", "length", COLUMN_LENGTH}, {"batch", "batch", COLUMN_TEXT},
        {"place", "place", COLUMN_TEXT},     {"is", "state", COLUMN_TEXT},
        {"plan", "plan", COLUMN_NUMBER},     {"since", "arrived_at", COLUMN_TIME}};
    static const struct column sums[] = {{"in all", "count", COLUMN_NUMBER},
                                         {"length", "length", COLUMN_LENGTH},
                                         {"more with --after", "next", COLUMN_NUMBER}};
    table_print(screen, columns, sizeof columns / sizeof columns[0], json_object_get(rack, "bars"),
                "Nothing lies there.");
    putc('\n', screen->file);
    fields_print(screen, sums, sizeof sums / sizeof sums[0], rack);
}

static int run(struct program *program) {
    int64_t after, limit;
    ell_length longer, shorter;
    if (!program_number(program, "after", 1, INT64_MAX, 0, &after) ||
        !program_number(program, "limit", 1, 1000, 200, &limit) ||
        !program_length(program, "longer", 0, ELL_LENGTH_MAX, 0, &longer) ||
        !program_length(program, "shorter", 0, ELL_LENGTH_MAX, -1, &shorter))
        return EXIT_USAGE;
    json_t *body = json_pack(
        "{s:s*, s:s*, s:s*, s:s*, s:s*, s:s*, s:f, s:I}", "system", program_option(program, "system"),
        "finish", program_option(program, "finish"), "kind", program_option(program, "kind"), "state",
        program_option(program, "state"), "batch", program_option(program, "batch"), "by",
        program_option(program, "by"), "longer", (double)longer / 10, "limit", (json_int_t)limit);
    if (shorter >= 0)
        json_object_set_new(body, "shorter", json_real((double)shorter / 10));
    if (after > 0)
        json_object_set_new(body, "after", json_integer(after));
    json_t *rack = NULL;
    int code = program_call(program, "rack.list", body, &rack);
    if (code == EXIT_DONE && !program_json(program, rack))
        view(&program->screen, rack);
    json_decref(rack);
    return code;
}

static const struct command_option options[] = {
    {"system", "SYSTEM", "Only of this track system"},
    {"finish", "FINISH", "Only in this finish"},
    {"kind", "KIND", "Only those that are bar or offcut"},
    {"batch", "BATCH", "Only of this finish batch"},
    {"longer", "LENGTH", "Only those at least so long"},
    {"shorter", "LENGTH", "Only those at most so long"},
    {"by", "WHAT", "In the order of their number, or length: the shortest first [number]"},
    {"state", "STATE", "Those on-rack, bound, cut or written-off [on-rack, bound]"},
    {"after", "NUMBER", "Go on after this one"},
    {"limit", "NUMBER", "At most so many [200]"},
    {0}};

const struct command command_rack_list = {
    .name = "rack list",
    .group = GROUP_SAW,
    .summary = "Bars and offcuts on the rack",
    .more = "To find what a piece could be cut from: --longer LENGTH --by length.",
    .options = options,
    .run = run,
};
