/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_number.h"

static int run(struct program *program) {
    return plan_each(program, "plan.release");
}

const struct command command_plan_release = {
    .name = "plan release",
    .group = GROUP_SAW,
    .arguments = "PLAN...",
    .least = 1,
    .most = -1,
    .summary = "Release plans to the saw: bars are bound, labels are printed",
    .run = run,
};
