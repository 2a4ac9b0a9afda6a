/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"station", "station", COLUMN_TEXT},
                                           {"the next job begins at place", "place", COLUMN_NUMBER},
                                           {"of", "places", COLUMN_NUMBER}};
    int64_t place;
    if (!program_number(program, "place", 1, 1200, 0, &place))
        return EXIT_USAGE;
    if (place == 0)
        return program_wrong(program, EXIT_USAGE, "station sheet",
                             "Give --place: the first free one of the sheet.");
    return program_show(program, "station.sheet",
                        json_pack("{s:s, s:I}", "station", program->arguments[0], "place", (json_int_t)place),
                        fields, sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {
    {"place", "N",
     "The first free place of the sheet that lies in the printer, counted along its rows from 1"},
    {0}};

const struct command command_station_sheet = {
    .name = "station sheet",
    .group = GROUP_STORES,
    .arguments = "NAME",
    .least = 1,
    .most = 1,
    .summary = "Say that a part-used sheet of labels lies in a station's printer",
    .more = "For the next job; a station set with --part-sheets goes on in the same sheet by itself.",
    .options = options,
    .run = run,
};
