/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_number.h"
#include "plan_view.h"

static int run(struct program *program) {
    int64_t number;
    json_t *plan = NULL;
    if (!plan_number(program, 0, &number))
        return EXIT_USAGE;
    int code = program_call(program, "plan.show", json_pack("{s:I}", "plan", (json_int_t)number), &plan);
    if (code == EXIT_DONE && !program_json(program, plan))
        plan_view(&program->screen, plan);
    json_decref(plan);
    return code;
}

const struct command command_plan_show = {
    .name = "plan show",
    .group = GROUP_SAW,
    .arguments = "PLAN",
    .least = 1,
    .most = 1,
    .summary = "Show a plan, its bars drawn to scale",
    .run = run,
};
