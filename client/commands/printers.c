/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {
        {"station", "station", COLUMN_TEXT},     {"queue", "queue", COLUMN_TEXT},
        {"folder", "folder", COLUMN_TEXT},       {"stock", "stock", COLUMN_TEXT},
        {"prints", "kinds_text", COLUMN_TEXT},   {"queued", "queued", COLUMN_NUMBER},
        {"printing", "printing", COLUMN_NUMBER}, {"held", "held", COLUMN_NUMBER},
        {"seen", "seen_at", COLUMN_TIME},        {"", "message", COLUMN_TEXT}};
    return program_list(program, "station.list", NULL, "stations", columns,
                        sizeof columns / sizeof columns[0],
                        "No stations yet; make one with `ellwand station set`.");
}

const struct command command_printers = {
    .name = "printers",
    .summary = "The stations that print labels: what waits there, and how their printers stand",
    .run = run,
};
