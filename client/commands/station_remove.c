/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"removed", "station", COLUMN_TEXT}};
    return program_show(program, "station.remove", json_pack("{s:s}", "station", program->arguments[0]),
                        fields, 1);
}

const struct command command_station_remove = {
    .name = "station remove",
    .group = GROUP_SETUP,
    .arguments = "NAME",
    .least = 1,
    .most = 1,
    .summary = "Take away a station that never printed",
    .run = run,
};
