/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {
        {"kit", "kit", COLUMN_TEXT},         {"order", "order", COLUMN_TEXT},
        {"window", "window", COLUMN_TEXT},   {"room", "room", COLUMN_TEXT | COLUMN_MINOR},
        {"due", "due", COLUMN_TEXT},         {"corded", "corded", COLUMN_YES | COLUMN_MINOR},
        {"state", "state", COLUMN_TEXT},     {"lines", "lines", COLUMN_NUMBER},
        {"picked", "picked", COLUMN_NUMBER}, {"short", "short", COLUMN_NUMBER},
        {"pieces", "pieces", COLUMN_NUMBER}, {"matched", "matched", COLUMN_NUMBER},
    };
    json_t *body = json_pack("{s:s*, s:s*}", "state", program_option(program, "state"), "order",
                             program_option(program, "order"));
    return program_list(program, "kit.list", body, "kits", columns, sizeof columns / sizeof columns[0],
                        "No such kits.");
}

static const struct command_option options[] = {
    {"state", "STATE",
     "Only those that are waiting, picking, complete, packed, dispatched or cancelled [all open ones]"},
    {"order", "ORDER", "Only those of this order"},
    {0}};

const struct command command_kit_list = {
    .name = "kit list",
    .group = GROUP_STORES,
    .summary = "Kits as they fall due",
    .options = options,
    .run = run,
};
