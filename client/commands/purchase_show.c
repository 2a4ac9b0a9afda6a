/* SPDX-License-Identifier: Apache-2.0 */
#include "purchase_view.h"

static int run(struct program *program) {
    int64_t number;
    return purchase_number(program, &number)
               ? purchase_call(program, "purchase.show", json_pack("{s:I}", "purchase", (json_int_t)number))
               : EXIT_USAGE;
}

const struct command command_purchase_show = {
    .name = "purchase show",
    .group = GROUP_MANAGER,
    .arguments = "PURCHASE",
    .least = 1,
    .most = 1,
    .summary = "One purchase with its lines, what came, and its history",
    .run = run,
};
