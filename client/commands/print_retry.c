/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    return print_call_each(program, "print.retry");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_print_retry = {
    .name = "print retry",
    .arguments = "JOB...",
    .least = 1,
    .most = -1,
    .summary = "Print held jobs again, or waiting ones at once",
    .options = options,
    .run = run,
};
