/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static void view(struct program *program, const json_t *result) {
    static const struct column columns[] = {
        {"code", "code", COLUMN_TEXT},       {"system", "system", COLUMN_TEXT},
        {"finish", "finish", COLUMN_TEXT},   {"length", "length", COLUMN_LENGTH},
        {"place", "place", COLUMN_TEXT},     {"batch", "batch", COLUMN_TEXT | COLUMN_MINOR},
        {"days", "age_days", COLUMN_NUMBER}, {"value", "value", COLUMN_MONEY},
        {"chance", "chance", COLUMN_SHARE},  {"worth keeping", "keep", COLUMN_MONEY},
        {"its place", "cost", COLUMN_MONEY}, {"clear", "clear", COLUMN_YES}};
    static const struct column totals[] = {
        {"offcuts", "offcuts", COLUMN_NUMBER}, {"places", "places", COLUMN_NUMBER},
        {"taken", "taken", COLUMN_NUMBER},     {"to clear", "clear", COLUMN_NUMBER},
        {"length", "length", COLUMN_LENGTH},   {"value", "value", COLUMN_MONEY}};
    const struct screen *screen = &program->screen;
    const json_t *rows = json_object_get(result, "rows"), *row;
    size_t index;
    if (!program_switch(program, "why")) {
        table_print(screen, columns, sizeof columns / sizeof columns[0], rows,
                    "Nothing has to be cleared out.");
    } else {
        json_array_foreach((json_t *)rows, index, row) {
            screen_text(screen, PAINT_BOLD, json_string_value(json_object_get(row, "code")));
            putc('\n', screen->file);
            screen_paragraph(screen, 4, json_string_value(json_object_get(row, "why")));
        }
    }
    putc('\n', screen->file);
    fields_print(screen, totals, sizeof totals / sizeof totals[0], json_object_get(result, "totals"));
}

static int run(struct program *program) {
    static const struct {
        const char *option, *field;
        int64_t most;
    } numbers[] = {{"weeks", "weeks", 260},
                   {"age", "age", 100000},
                   {"place-cost", "place_cost", 1000000000},
                   {"limit", "limit", 1000}};
    json_t *body = json_pack("{s:s*, s:s*, s:b}", "system", program_option(program, "system"), "finish",
                             program_option(program, "finish"), "all", program_switch(program, "all"));
    json_t *result = NULL;
    int code = EXIT_DONE;
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0] && code == EXIT_DONE; i++) {
        int64_t number;
        if (!program_number(program, numbers[i].option, 0, numbers[i].most, -1, &number))
            code = EXIT_USAGE;
        else if (number >= 0)
            json_object_set_new(body, numbers[i].field, json_integer(number));
    }
    if (code == EXIT_DONE)
        code = program_pages(program, "rack.clear-out", body, "rows", &result);
    if (code == EXIT_DONE && !program_json(program, result))
        view(program, result);
    json_decref(result);
    json_decref(body);
    return code;
}

static const struct command_option options[] = {
    {"system", "SYSTEM", "Only of this track system"},
    {"finish", "FINISH", "Only in this finish"},
    {"weeks", "NUMBER", "Look so many weeks ahead [26]"},
    {"age", "DAYS", "Propose nothing that has lain there for less [90]"},
    {"place-cost", "AMOUNT", "What a place on the rack costs a year, in minor units [100]"},
    {"all", NULL, "All offcuts, the least worth keeping first"},
    {"why", NULL, "In words: what each proposal comes from"},
    {"limit", "NUMBER", "At most so many [all]"},
    {0}};

const struct command command_rack_clear_out = {
    .name = "rack clear-out",
    .group = GROUP_MANAGER,
    .summary = "Offcuts that are old and not likely to serve again",
    .more = "What was cut in the last year tells how likely it is that a piece comes that would be cut from "
            "an offcut; that chance of its "
            "value is what keeping it is worth. Nothing is changed: write off what you agree with, by "
            "ellwand rack write-off.",
    .options = options,
    .run = run,
};
