/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_number.h"

static int run(struct program *program) {
    return plan_each(program, "plan.cancel");
}

const struct command command_plan_cancel = {
    .name = "plan cancel",
    .group = GROUP_SAW,
    .arguments = "PLAN...",
    .least = 1,
    .most = -1,
    .summary = "Stop the solving of plans",
    .run = run,
};
