/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "order_view.h"

static int run(struct program *program) {
    json_t *order = NULL;
    int code = program_call(
        program, "order.resume",
        json_pack("{s:s, s:s*}", "order", program->arguments[0], "reason", program_option(program, "reason")),
        &order);
    if (code == EXIT_DONE && !program_json(program, order))
        order_view(&program->screen, order);
    json_decref(order);
    return code;
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_order_resume = {
    .name = "order resume",
    .group = GROUP_DESK,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "Resume a held order and reserve its parts again",
    .options = options,
    .run = run,
};
