/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"key", "name", COLUMN_TEXT},
                                            {"may act as", "roles_text", COLUMN_TEXT},
                                            {"enabled", "enabled", COLUMN_YES},
                                            {"public key", "public_key", COLUMN_TEXT},
                                            {"since", "created_at", COLUMN_TIME}};
    return program_list(program, "key.list", NULL, "keys", columns, sizeof columns / sizeof columns[0],
                        "No keys.");
}

const struct command command_key_list = {
    .name = "key list",
    .group = GROUP_SETUP,
    .summary = "The client keys with their roles",
    .run = run,
};
