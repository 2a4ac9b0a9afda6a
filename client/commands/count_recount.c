/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"

static int run(struct program *program) {
    json_t *body = count_subject(program);
    if (body != NULL && program_switch(program, "all"))
        json_object_set_new(body, "what", json_string("all"));
    if (body != NULL && program_option(program, "reason") != NULL)
        json_object_set_new(body, "reason", json_string(program_option(program, "reason")));
    return count_call(program, "count.recount", body);
}

static const struct command_option options[] = {
    {"all", NULL, "Count everything again, not only what differs"},
    {"rack", NULL, "The place is one of the rack"},
    {"reason", "TEXT", "Why"},
    {0}};

const struct command command_count_recount = {
    .name = "count recount",
    .group = GROUP_MANAGER,
    .arguments = "STOCK-TAKE",
    .least = 1,
    .most = 1,
    .summary = "Ask for another count instead of approving",
    .options = options,
    .run = run,
};
