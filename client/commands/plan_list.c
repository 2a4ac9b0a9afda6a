/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {
        {"plan", "plan", COLUMN_NUMBER},     {"is", "state", COLUMN_TEXT},
        {"system", "system", COLUMN_TEXT},   {"finish", "finish", COLUMN_TEXT},
        {"saw", "saw", COLUMN_TEXT},         {"made", "made_at", COLUMN_TIME},
        {"pieces", "pieces", COLUMN_NUMBER}, {"bars", "bars", COLUMN_NUMBER},
        {"cut", "bars_cut", COLUMN_NUMBER},  {"proven", "proven", COLUMN_YES},
        {"because", "failure", COLUMN_TEXT}};
    int64_t limit;
    if (!program_number(program, "limit", 1, 500, 50, &limit))
        return EXIT_USAGE;
    const char *state = program_option(program, "state");
    json_t *body = json_pack("{s:s*, s:b, s:I}", "state", state, "live",
                             state == NULL && !program_switch(program, "all"), "limit", (json_int_t)limit);
    return program_list(program, "plan.list", body, "plans", columns, sizeof columns / sizeof columns[0],
                        "No such plans.");
}

static const struct command_option options[] = {
    {"all", NULL, "Also those that are done, dropped or failed"},
    {"state", "STATE", "Only those queued, solving, ready, released, done, failed or dropped"},
    {"limit", "NUMBER", "At most so many, the newest [50]"},
    {0}};

const struct command command_plan_list = {
    .name = "plan list",
    .group = GROUP_SAW,
    .summary = "Plans under way, newest first",
    .options = options,
    .run = run,
};
