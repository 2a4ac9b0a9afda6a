/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"purchase", "purchase", COLUMN_NUMBER},
                                            {"supplier", "supplier", COLUMN_TEXT},
                                            {"is", "state", COLUMN_TEXT},
                                            {"made", "made_at", COLUMN_TIME},
                                            {"ordered", "ordered_at", COLUMN_TIME},
                                            {"expected", "expected", COLUMN_TEXT},
                                            {"late", "late", COLUMN_YES},
                                            {"lines", "lines", COLUMN_NUMBER},
                                            {"open", "lines_open", COLUMN_NUMBER},
                                            {"cost", "cost", COLUMN_MONEY}};
    const char *state = program_option(program, "state");
    json_t *body =
        json_pack("{s:s*, s:b}", "state", state, "open", state == NULL && !program_switch(program, "all"));
    return program_list(program, "purchase.list", body, "purchases", columns,
                        sizeof columns / sizeof columns[0], "No such purchases.");
}

static const struct command_option options[] = {
    {"all", NULL, "Also those that are received or cancelled"},
    {"state", "STATE", "Only those proposed, ordered, received or cancelled"},
    {0}};

const struct command command_purchase_list = {
    .name = "purchase list",
    .group = GROUP_MANAGER,
    .summary = "Purchases that are proposed or on their way, newest first",
    .options = options,
    .run = run,
};
