/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    int code = EXIT_DONE;
    for (int i = 1; i < program->argument_count && code == EXIT_DONE; i++)
        code = kit_call(program, "kit.unmatch",
                        json_pack("{s:s, s:s, s:s*}", "kit", program->arguments[0], "piece",
                                  program->arguments[i], "reason", program_option(program, "reason")));
    return code;
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_kit_unmatch = {
    .name = "kit unmatch",
    .group = GROUP_STORES,
    .arguments = "KIT PIECE...",
    .least = 2,
    .most = -1,
    .summary = "Take matched pieces from their kit",
    .options = options,
    .run = run,
};
