/* SPDX-License-Identifier: Apache-2.0 */
#include "print_view.h"

static int run(struct program *program) {
    return print_call_each(program, "print.done");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_print_done = {
    .name = "print done",
    .group = GROUP_STORES,
    .arguments = "JOB...",
    .least = 1,
    .most = -1,
    .summary = "Say that the labels of held print jobs did come out",
    .options = options,
    .run = run,
};
