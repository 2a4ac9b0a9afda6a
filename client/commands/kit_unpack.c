/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    return kit_call_each(program, "kit.unpack");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_kit_unpack = {
    .name = "kit unpack",
    .group = GROUP_STORES,
    .arguments = "KIT...",
    .least = 1,
    .most = -1,
    .summary = "Open packed kits again",
    .options = options,
    .run = run,
};
