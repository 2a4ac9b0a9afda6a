/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"stock-take", "stock_take", COLUMN_NUMBER},
                                            {"bin", "bin", COLUMN_TEXT},
                                            {"place", "place", COLUMN_TEXT},
                                            {"is", "state", COLUMN_TEXT},
                                            {"count", "round", COLUMN_NUMBER},
                                            {"opened", "opened_at", COLUMN_TIME},
                                            {"counted", "counted_at", COLUMN_TIME},
                                            {"lines", "counted", COLUMN_NUMBER},
                                            {"differ", "different", COLUMN_NUMBER}};
    json_t *answer = NULL;
    int code = program_call(program, "count.list",
                            json_pack("{s:s*}", "state", program_option(program, "state")), &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        table_print(&program->screen, columns, sizeof columns / sizeof columns[0],
                    json_object_get(answer, "stock_takes"), "No stock-take.");
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"state", "STATE", "Only those that are open, counted, approved or dropped [those under way]"}, {0}};

const struct command command_count_list = {
    .name = "count list",
    .group = GROUP_STORES,
    .summary = "The latest stock-takes, and what waits for approval",
    .options = options,
    .run = run,
};
