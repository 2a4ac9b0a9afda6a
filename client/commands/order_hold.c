/* SPDX-License-Identifier: Apache-2.0 */
#include "order_give_up.h"

static int run(struct program *program) {
    return order_give_up(program, "order.hold");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_order_hold = {
    .name = "order hold",
    .group = GROUP_DESK,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "Hold an order: nothing of it is cut or picked until it is resumed",
    .options = options,
    .run = run,
};
