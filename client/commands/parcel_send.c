/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <stdio.h>
#include <string.h>

static void show(const struct program *program, const json_t *answer) {
    const char *order = json_string_value(json_object_get(answer, "order"));
    size_t index;
    const json_t *left;
    fprintf(program->screen.file, "%s has gone. ", json_string_value(json_object_get(answer, "parcel")));
    if (json_array_size(json_object_get(answer, "left")) == 0) {
        fprintf(program->screen.file, "It was the last: order %s is dispatched.\n", order);
        return;
    }
    fprintf(program->screen.file, "Still here of order %s:", order);
    json_array_foreach(json_object_get(answer, "left"), index, left)
        fprintf(program->screen.file, " %s", json_string_value(left));
    fputs(".\n", program->screen.file);
}

static int send_one(struct program *program, const char *code_text) {
    json_t *answer = NULL;
    json_t *body = json_pack("{s:s, s:s*}", "parcel", code_text, "reason", program_option(program, "reason"));
    int code = program_call(program, "parcel.send", body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static int run(struct program *program) {
    int code = EXIT_DONE;
    for (int i = 0; i < program->argument_count && code == EXIT_DONE; i++)
        code = send_one(program, program->arguments[i]);
    return code;
}

static const struct command_option options[] = {{"reason", "TEXT", "Goes into its history"}, {0}};

const struct command command_parcel_send = {
    .name = "parcel send",
    .group = GROUP_STORES,
    .arguments = "PARCEL...",
    .least = 1,
    .most = 100,
    .summary = "Sends parcels off: scan the label of each; the last one dispatches the order",
    .options = options,
    .run = run,
};
