/* SPDX-License-Identifier: Apache-2.0 */
#include "print_view.h"

static int run(struct program *program) {
    return print_call_each(program, "print.retry");
}

static const struct command_option options[] = {
    {"from", "N",
     "The first label to print, when you looked: those before it came out, it and the rest did not"},
    {"reason", "TEXT", "Why; it stays in the history"},
    {0}};

const struct command command_print_retry = {
    .name = "print retry",
    .group = GROUP_STORES,
    .arguments = "JOB...",
    .least = 1,
    .most = -1,
    .summary = "Print held jobs again, or waiting ones at once",
    .more = "Without --from, labels that may have come out are printed again as marked reprints with codes "
            "of their own, and "
            "those that did come out are void.",
    .options = options,
    .run = run,
};
