/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {
        {"order", "order", COLUMN_TEXT},
        {"customer", "customer", COLUMN_TEXT},
        {"due", "due", COLUMN_TEXT},
        {"late", "late", COLUMN_YES},
        {"state", "state", COLUMN_TEXT},
        {"priority", "priority", COLUMN_NUMBER | COLUMN_MINOR},
        {"windows", "windows", COLUMN_NUMBER | COLUMN_MINOR},
        {"pieces", "pieces", COLUMN_NUMBER},
        {"cut", "pieces_cut", COLUMN_NUMBER},
        {"packed", "kits_packed", COLUMN_NUMBER},
    };
    json_t *body = json_pack("{s:s?, s:b, s:b}", "state", program_option(program, "state"), "open",
                             program_switch(program, "open"), "late", program_switch(program, "late"));
    return program_list(program, "order.list", body, "orders", columns, sizeof columns / sizeof columns[0],
                        "No such orders.");
}

static const struct command_option options[] = {
    {"state", "STATE", "Only those that are taken, held, packed, dispatched or cancelled"},
    {"open", NULL, "Only those not yet dispatched or cancelled"},
    {"late", NULL, "Only open ones whose day has passed"},
    {0}};

const struct command command_order_list = {
    .name = "order list",
    .group = GROUP_DESK,
    .summary = "Orders by due date",
    .options = options,
    .run = run,
};
