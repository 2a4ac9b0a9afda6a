/* SPDX-License-Identifier: Apache-2.0 */
#include "csv_file.h"

static void add_places(const json_t *part, json_t *rows) {
    size_t index;
    json_t *place;
    json_array_foreach(json_object_get(part, "bins"), index, place) json_array_append_new(
        rows, json_pack("[O, O, O, O, O, O, O]", json_object_get(part, "part"), json_object_get(part, "name"),
                        json_object_get(part, "unit"), json_object_get(place, "bin"),
                        json_object_get(place, "batch"), json_object_get(place, "on_hand"),
                        json_object_get(place, "on_hand")));
}

static int run(struct program *program) {
    static const char *const columns[] = {"part", "name", "unit", "bin", "batch", "booked", "quantity", NULL};
    json_t *body = json_pack("{s:s*}", "part", program_option(program, "part")), *answer = NULL, *part;
    json_t *rows = json_array();
    size_t index;
    const char *path = program->argument_count > 0 ? program->arguments[0] : NULL;
    int code = program_pages(program, "stock.list", body, "parts", &answer);
    json_array_foreach(json_object_get(answer, "parts"), index, part) add_places(part, rows);
    if (code == EXIT_DONE)
        code = csv_file_write(program, path, columns, rows);
    json_decref(rows);
    json_decref(body);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {{"part", "PART", "Only this one"}, {0}};

const struct command command_stock_export = {
    .name = "stock export",
    .group = GROUP_MANAGER,
    .arguments = "[FILE]",
    .least = 0,
    .most = 1,
    .summary = "What lies in the bins as CSV, to be edited and imported again",
    .more = "A line for each part, bin and batch. \"booked\" is what the books have now and stays as it is; "
            "change \"quantity\". "
            "Text that a spreadsheet would take for a formula (it begins with = + - or @) gets an apostrophe "
            "in front, "
            "which the import takes off.",
    .options = options,
    .run = run,
};
