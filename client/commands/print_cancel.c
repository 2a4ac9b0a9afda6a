/* SPDX-License-Identifier: Apache-2.0 */
#include "print_view.h"

static int run(struct program *program) {
    return print_call_each(program, "print.cancel");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_print_cancel = {
    .name = "print cancel",
    .group = GROUP_STORES,
    .arguments = "JOB...",
    .least = 1,
    .most = -1,
    .summary = "Give up held or waiting print jobs",
    .options = options,
    .run = run,
};
