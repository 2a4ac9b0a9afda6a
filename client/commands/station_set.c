/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <string.h>

static json_t *kinds_of(const char *text) {
    json_t *kinds = json_array();
    for (const char *at = text; *at != '\0';) {
        size_t length = strcspn(at, ",");
        json_array_append_new(kinds, json_stringn(at, length));
        at += length + (at[length] == ',');
    }
    return kinds;
}

static int run(struct program *program) {
    static const struct column fields[] = {{"station", "station", COLUMN_TEXT},
                                           {"queue", "queue", COLUMN_TEXT},
                                           {"folder", "folder", COLUMN_TEXT},
                                           {"label stock", "stock", COLUMN_TEXT}};
    const char *stock = program_option(program, "stock"), *kinds = program_option(program, "kinds");
    int64_t job_labels;
    if (!program_number(program, "job-labels", 1, 1000, 200, &job_labels))
        return EXIT_USAGE;
    if (stock == NULL || kinds == NULL)
        return program_wrong(program, EXIT_USAGE, "station set", "Give --stock and --kinds.");
    json_t *body =
        json_pack("{s:s, s:s*, s:s*, s:s, s:o, s:I, s:b}", "station", program->arguments[0], "queue",
                  program_option(program, "queue"), "folder", program_option(program, "folder"), "stock",
                  stock, "kinds", kinds_of(kinds), "job_labels", (json_int_t)job_labels, "part_sheets",
                  (int)program_switch(program, "part-sheets"));
    return program_show(program, "station.set", body, fields, sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {
    {"queue", "QUEUE", "The CUPS queue of its printer, or"},
    {"folder", "PATH", "a folder of the daemon's machine that takes PDF files"},
    {"stock", "CODE", "The label stock in it, from the catalogue"},
    {"kinds", "KINDS", "What it prints: piece, kit, offcut, bar, bin, parcel, cut-sheet, with commas"},
    {"job-labels", "N", "At most so many labels go to the printer as one job [200]"},
    {"part-sheets", NULL,
     "On sheets of labels: each job goes on where the last one ended [each begins a new sheet]"},
    {0}};

const struct command command_station_set = {
    .name = "station set",
    .group = GROUP_SETUP,
    .arguments = "NAME",
    .least = 1,
    .most = 1,
    .summary = "Make or change a station that prints labels",
    .options = options,
    .run = run,
};
