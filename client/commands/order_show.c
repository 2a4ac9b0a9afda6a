/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "order_view.h"

static int run(struct program *program) {
    json_t *result = NULL;
    json_t *body =
        json_pack("{s:s, s:b}", "order", program->arguments[0], "full", program_switch(program, "full"));
    int code = program_call(program, "order.show", body, &result);
    if (code == EXIT_DONE && !program_json(program, result))
        order_view(&program->screen, result);
    json_decref(result);
    return code;
}

static const struct command_option options[] = {{"full", NULL, "With --json: the surveys and take-offs too"},
                                                {0}};

const struct command command_order_show = {
    .name = "order show",
    .group = GROUP_DESK,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "One order with its windows, pieces and history",
    .options = options,
    .run = run,
};
