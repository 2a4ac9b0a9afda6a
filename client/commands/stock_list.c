/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"part", "part", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"code", "code", COLUMN_TEXT | COLUMN_MINOR},
                                            {"on hand", "on_hand", COLUMN_LENGTH},
                                            {"reserved", "reserved", COLUMN_LENGTH},
                                            {"free", "free", COLUMN_LENGTH},
                                            {"short", "short", COLUMN_LENGTH},
                                            {"bins", "bins", COLUMN_COUNT | COLUMN_MINOR}};
    json_t *body = json_pack("{s:s*, s:b}", "part", program_option(program, "part"), "short",
                             program_switch(program, "short"));
    return program_list(program, "stock.list", body, "parts", columns, sizeof columns / sizeof columns[0],
                        program_switch(program, "short") ? "Nothing is short." : "No such parts.");
}

static const struct command_option options[] = {
    {"part", "PART", "Only this one"}, {"short", NULL, "Only what open kits are short of"}, {0}};

const struct command command_stock_list = {
    .name = "stock list",
    .group = GROUP_STORES,
    .summary = "Parts: on hand, reserved, free, and short; parts by length in mm",
    .options = options,
    .run = run,
};
