/* SPDX-License-Identifier: Apache-2.0 */
#include "purchase_view.h"

static int run(struct program *program) {
    int64_t number;
    if (!purchase_number(program, &number))
        return EXIT_USAGE;
    return purchase_call(program, "purchase.order",
                         json_pack("{s:I, s:s*, s:s*}", "purchase", (json_int_t)number, "expected",
                                   program_option(program, "expected"), "reason",
                                   program_option(program, "reason")));
}

static const struct command_option options[] = {
    {"expected", "DATE", "The day on which it should come [when its lead time has passed]"},
    {"reason", "TEXT", "Remark, for the history"},
    {0}};

const struct command command_purchase_order = {
    .name = "purchase order",
    .group = GROUP_MANAGER,
    .arguments = "PURCHASE",
    .least = 1,
    .most = 1,
    .summary = "Approve a proposal: it counts as on its way from now on",
    .options = options,
    .run = run,
};
