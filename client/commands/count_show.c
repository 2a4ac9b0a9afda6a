/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"

static void show_take(const struct screen *screen, const json_t *take) {
    static const struct column fields[] = {{"stock-take", "stock_take", COLUMN_NUMBER},
                                           {"bin", "bin", COLUMN_TEXT},
                                           {"place", "place", COLUMN_TEXT},
                                           {"is", "state", COLUMN_TEXT},
                                           {"count", "round", COLUMN_NUMBER},
                                           {"found", "found", COLUMN_NUMBER}};
    static const struct column lines[] = {
        {"part", "part", COLUMN_TEXT},          {"name", "name", COLUMN_TEXT},
        {"batch", "batch", COLUMN_TEXT},        {"counted", "counted", COLUMN_LENGTH},
        {"books had", "booked", COLUMN_LENGTH}, {"difference", "difference", COLUMN_LENGTH},
        {"worth", "value", COLUMN_MONEY},       {"large", "large", COLUMN_YES}};
    static const struct column bars[] = {
        {"code", "code", COLUMN_TEXT},     {"is", "what", COLUMN_TEXT},
        {"kind", "kind", COLUMN_TEXT},     {"system", "system", COLUMN_TEXT},
        {"finish", "finish", COLUMN_TEXT}, {"length", "length", COLUMN_LENGTH}};
    fields_print(screen, fields, sizeof fields / sizeof fields[0], take);
    putc('\n', screen->file);
    if (json_object_get(take, "bin") != NULL)
        table_print(screen, lines, sizeof lines / sizeof lines[0], json_object_get(take, "lines"),
                    "Nothing is known to be there: enter what is.");
    else if (json_object_get(take, "bars") != NULL)
        table_print(screen, bars, sizeof bars / sizeof bars[0], json_object_get(take, "bars"),
                    "Nothing was found.");
    putc('\n', screen->file);
}

static int run(struct program *program) {
    json_t *takes = count_numbers(program, 0), *answer = NULL, *take;
    const char *sheet = program_option(program, "sheet");
    size_t index;
    int code = takes == NULL ? EXIT_USAGE : EXIT_DONE;
    if (code == EXIT_DONE && sheet != NULL)
        code = count_sheet(program, takes, sheet);
    else if (code == EXIT_DONE)
        code = program_call(program, "count.show", json_pack("{s:O}", "stock_takes", takes), &answer);
    if (answer != NULL && !program_json(program, answer))
        json_array_foreach(json_object_get(answer, "stock_takes"), index, take)
            show_take(&program->screen, take);
    json_decref(answer);
    json_decref(takes);
    return code;
}

static const struct command_option options[] = {{"sheet", "FILE", "Draw the count sheets into this PDF file"},
                                                {0}};

const struct command command_count_show = {
    .name = "count show",
    .group = GROUP_STORES,
    .arguments = "STOCK-TAKE...",
    .least = 1,
    .most = 200,
    .summary = "What is to be counted; once it is counted, to managers what differs",
    .options = options,
    .run = run,
};
