/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"

static int run(struct program *program) {
    json_t *body = count_subject(program);
    if (body != NULL && program_option(program, "reason") != NULL)
        json_object_set_new(body, "reason", json_string(program_option(program, "reason")));
    return count_call(program, "count.drop", body);
}

static const struct command_option options[] = {
    {"rack", NULL, "The place is one of the rack"}, {"reason", "TEXT", "Why"}, {0}};

const struct command command_count_drop = {
    .name = "count drop",
    .group = GROUP_STORES,
    .arguments = "STOCK-TAKE",
    .least = 1,
    .most = 1,
    .summary = "Drop a stock-take that is not approved; nothing of it is booked",
    .more = "Named by its number or its bin.",
    .options = options,
    .run = run,
};
