/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    return kit_call_each(program, "kit.pack");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_kit_pack = {
    .name = "kit pack",
    .group = GROUP_STORES,
    .arguments = "KIT...",
    .least = 1,
    .most = -1,
    .summary = "Close complete kits whose pieces are matched",
    .more = "The last kit of an order packs the order. A corded kit without its tension pulley and screws "
            "stays open.",
    .options = options,
    .run = run,
};
