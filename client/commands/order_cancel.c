/* SPDX-License-Identifier: Apache-2.0 */
#include "order_give_up.h"

static int run(struct program *program) {
    return order_give_up(program, "order.cancel");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_order_cancel = {
    .name = "order cancel",
    .group = GROUP_DESK,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "Cancel an order: pieces and parts go back where they came from",
    .more = "Cut pieces that are long enough become offcuts and get a label; what was picked is listed with "
            "the bin to carry "
            "it back to.",
    .options = options,
    .run = run,
};
