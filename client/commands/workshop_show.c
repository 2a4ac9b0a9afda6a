/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"workshop", "workshop", COLUMN_TEXT},
                                           {"title", "title", COLUMN_TEXT},
                                           {"usable remainder", "usable_remainder", COLUMN_LENGTH},
                                           {"worth of new, %", "value_percent", COLUMN_NUMBER},
                                           {"places on the rack", "rack_places", COLUMN_NUMBER},
                                           {"offcuts there", "offcuts", COLUMN_NUMBER}};
    return program_show(program, "workshop.show", NULL, fields, sizeof fields / sizeof fields[0]);
}

const struct command command_workshop_show = {
    .name = "workshop show",
    .group = GROUP_SETUP,
    .summary = "The workshop's settings: what goes back to the rack and what it is worth",
    .run = run,
};
