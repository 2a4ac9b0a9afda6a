/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_number.h"

static int run(struct program *program) {
    return plan_each(program, "plan.drop");
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_plan_drop = {
    .name = "plan drop",
    .group = GROUP_SAW,
    .arguments = "PLAN...",
    .least = 1,
    .most = -1,
    .summary = "Drop plans: what is not yet cut goes back to pool and rack",
    .options = options,
    .run = run,
};
