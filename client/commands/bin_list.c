/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"bin", "bin", COLUMN_TEXT},
                                            {"code", "code", COLUMN_TEXT},
                                            {"walk", "walk", COLUMN_NUMBER},
                                            {"parts", "parts", COLUMN_NUMBER}};
    return program_list(program, "bin.list", NULL, "bins", columns, sizeof columns / sizeof columns[0],
                        "No bins yet.");
}

const struct command command_bin_list = {
    .name = "bin list",
    .group = GROUP_STORES,
    .summary = "The bins in the order of the walk",
    .run = run,
};
