/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"key", "name", COLUMN_TEXT}, {"enabled", "enabled", COLUMN_YES}};
    return program_show(program, "key.disable", json_pack("{s:s}", "name", program->arguments[0]), fields,
                        sizeof fields / sizeof fields[0]);
}

const struct command command_key_disable = {
    .name = "key disable",
    .group = GROUP_SETUP,
    .arguments = "NAME",
    .least = 1,
    .most = 1,
    .summary = "Shut a client key out",
    .run = run,
};
