/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    int code = EXIT_DONE;
    for (int i = 1; i < program->argument_count && code == EXIT_DONE; i++)
        code =
            kit_call(program, "kit.match",
                     json_pack("{s:s, s:s}", "kit", program->arguments[0], "piece", program->arguments[i]));
    return code;
}

const struct command command_kit_match = {
    .name = "kit match",
    .group = GROUP_STORES,
    .arguments = "KIT PIECE...",
    .least = 2,
    .most = -1,
    .summary = "Match cut pieces with the kit of their window",
    .more = "Scan the kit, then each piece. A piece of another window is refused, and its own kit named.",
    .run = run,
};
