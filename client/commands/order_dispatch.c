/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"order", "order", COLUMN_TEXT},
                                           {"customer", "customer", COLUMN_TEXT},
                                           {"state", "state", COLUMN_TEXT},
                                           {"kits", "kits", COLUMN_NUMBER},
                                           {"pieces", "pieces", COLUMN_NUMBER}};
    json_t *body =
        json_pack("{s:s, s:s*}", "order", program->arguments[0], "reason", program_option(program, "reason"));
    return program_show(program, "order.dispatch", body, fields, sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {{"reason", "TEXT", "Carrier or remark, for the history"},
                                                {0}};

const struct command command_order_dispatch = {
    .name = "order dispatch",
    .group = GROUP_DESK,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "Send a packed order off with its kits and pieces",
    .options = options,
    .run = run,
};
