/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"

static int run(struct program *program) {
    json_t *bins = json_array(), *answer = NULL;
    for (int i = 0; i < program->argument_count; i++)
        json_array_append_new(bins, json_string(program->arguments[i]));
    int code = program_call(program, "bin.label", json_pack("{s:o}", "bins", bins), &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        labels_view(&program->screen, answer);
    json_decref(answer);
    return code;
}

const struct command command_bin_label = {
    .name = "bin label",
    .group = GROUP_STORES,
    .arguments = "BIN...",
    .least = 1,
    .most = -1,
    .summary = "Print labels for bins, which a scanner reads",
    .run = run,
};
