/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static bool has_words(const json_t *row, const char *field) {
    const char *words = json_string_value(json_object_get(row, field));
    return words != NULL && words[0] != '\0';
}

/* A station whose printer cannot print, or with jobs that wait for a person. */
static bool needs_help(const json_t *stations) {
    size_t index;
    json_t *station;
    json_array_foreach((json_t *)stations, index,
                       station) if (has_words(station, "message") ||
                                    json_integer_value(json_object_get(station, "held")) > 0) return true;
    return false;
}

static void show_stations(const struct screen *screen, const json_t *stations) {
    static const struct column columns[] = {
        {"station", "station", COLUMN_TEXT},     {"queue", "queue", COLUMN_TEXT},
        {"folder", "folder", COLUMN_TEXT},       {"stock", "stock", COLUMN_TEXT},
        {"prints", "kinds_text", COLUMN_TEXT},   {"queued", "queued", COLUMN_NUMBER},
        {"printing", "printing", COLUMN_NUMBER}, {"held", "held", COLUMN_NUMBER},
        {"place", "place", COLUMN_NUMBER},       {"of", "places", COLUMN_NUMBER},
        {"seen", "seen_at", COLUMN_TIME},        {"", "message", COLUMN_TEXT}};
    table_print(screen, columns, sizeof columns / sizeof columns[0], stations,
                "No stations yet; make one with `ellwand station set`.");
}

static int show(struct program *program) {
    json_t *answer = NULL;
    int code = program_call(program, "station.list", NULL, &answer);
    const json_t *stations = json_object_get(answer, "stations");
    if (code == EXIT_DONE && !program_json(program, answer))
        show_stations(&program->screen, stations);
    if (code == EXIT_DONE && needs_help(stations))
        code = EXIT_REFUSED;
    json_decref(answer);
    return code;
}

/* Lists as text, for the table. */
static void join(json_t *row, const char *field) {
    json_t *list = json_object_get(row, field), *item;
    json_t *text = json_string("");
    size_t index;
    json_array_foreach(list, index, item) {
        json_t *longer = json_is_integer(item)
                             ? json_sprintf("%s%s%" JSON_INTEGER_FORMAT, json_string_value(text),
                                            index > 0 ? ", " : "", json_integer_value(item))
                             : json_sprintf("%s%s%s", json_string_value(text), index > 0 ? ", " : "",
                                            json_string_value(item));
        json_decref(text);
        text = longer;
    }
    json_object_set_new(row, field, text);
}

static void show_queues(const struct screen *screen, json_t *queues) {
    static const struct column columns[] = {
        {"queue", "queue", COLUMN_TEXT},        {"model", "model", COLUMN_TEXT},
        {"state", "state", COLUMN_TEXT},        {"dots per inch", "resolutions", COLUMN_TEXT},
        {"takes stock", "stocks", COLUMN_TEXT}, {"any size to", "any_size_to", COLUMN_TEXT},
        {"stations", "stations", COLUMN_TEXT},  {"", "message", COLUMN_TEXT}};
    size_t index;
    json_t *row;
    json_array_foreach(queues, index, row) {
        join(row, "resolutions");
        join(row, "stocks");
        join(row, "stations");
    }
    table_print(screen, columns, sizeof columns / sizeof columns[0], queues,
                "The print server has no queues; `lpadmin` makes one.");
}

static int show_found(struct program *program) {
    json_t *answer = NULL;
    int code = program_call(program, "station.found", NULL, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show_queues(&program->screen, json_object_get(answer, "queues"));
    json_decref(answer);
    return code;
}

static int run(struct program *program) {
    return program_switch(program, "found") ? show_found(program) : show(program);
}

static const struct command_option options[] = {
    {"found", NULL,
     "Instead, the print queues there are, what they can do, and which label stock each takes"},
    {0}};

const struct command command_printers = {
    .name = "printers",
    .group = GROUP_STORES,
    .summary = "The stations that print labels: what waits there, and how their printers stand",
    .more = "Ends with 1 when a printer needs help or a print job waits for a person.",
    .options = options,
    .run = run,
};
