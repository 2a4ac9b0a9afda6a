/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {
        {"job", "job", COLUMN_NUMBER},          {"station", "station", COLUMN_TEXT},
        {"kind", "kind", COLUMN_TEXT},          {"labels", "labels", COLUMN_NUMBER},
        {"out", "done", COLUMN_NUMBER},         {"state", "state", COLUMN_TEXT},
        {"attempt", "attempt", COLUMN_NUMBER},  {"since", "queued_at", COLUMN_TIME},
        {"printed", "printed_at", COLUMN_TIME}, {"", "message", COLUMN_TEXT}};
    json_t *body = json_pack("{s:s*, s:s*}", "state", program_option(program, "state"), "station",
                             program_option(program, "station"));
    return program_list(program, "print.list", body, "jobs", columns, sizeof columns / sizeof columns[0],
                        "No such print jobs.");
}

static const struct command_option options[] = {
    {"state", "STATE",
     "Only queued, sending, printing, printed, held or cancelled ones [all that are not done]"},
    {"station", "NAME", "Only those of this station"},
    {0}};

const struct command command_print_list = {
    .name = "print list",
    .group = GROUP_STORES,
    .summary = "Print jobs, newest first, with what holds them up",
    .options = options,
    .run = run,
};
