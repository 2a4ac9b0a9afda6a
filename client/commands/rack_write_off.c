/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"bar", "bar", COLUMN_NUMBER}, {"is", "state", COLUMN_TEXT}};
    const char *reason = program_option(program, "reason");
    if (reason == NULL)
        return program_wrong(program, EXIT_USAGE, "reason", "Say why, with --reason.");
    return program_show(program, "rack.write-off",
                        json_pack("{s:s, s:s}", "bar", program->arguments[0], "reason", reason), fields,
                        sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {{"reason", "TEXT", "Why: lost, damaged, not worth its place"},
                                                {0}};

const struct command command_rack_write_off = {
    .name = "rack write-off",
    .group = GROUP_SAW,
    .arguments = "BAR",
    .least = 1,
    .most = 1,
    .summary = "Take a bar or an offcut off the rack for good",
    .options = options,
    .run = run,
};
