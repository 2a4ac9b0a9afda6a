/* SPDX-License-Identifier: Apache-2.0 */
#include "purchase_view.h"

static int run(struct program *program) {
    int64_t number;
    if (!purchase_number(program, &number))
        return EXIT_USAGE;
    return purchase_call(program, "purchase.cancel",
                         json_pack("{s:I, s:s*}", "purchase", (json_int_t)number, "reason",
                                   program_option(program, "reason")));
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history (wanted)"},
                                                {0}};

const struct command command_purchase_cancel = {
    .name = "purchase cancel",
    .group = GROUP_MANAGER,
    .arguments = "PURCHASE",
    .least = 1,
    .most = 1,
    .summary = "Give up a purchase, or what has not come in of it",
    .options = options,
    .run = run,
};
