/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "sheet_file.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

static void show_lines(const struct screen *screen, const json_t *kit) {
    static const struct column fields[] = {
        {"kit", "kit", COLUMN_TEXT},           {"order", "order", COLUMN_TEXT},
        {"customer", "customer", COLUMN_TEXT}, {"window", "window", COLUMN_TEXT},
        {"room", "room", COLUMN_TEXT},         {"system", "system", COLUMN_TEXT},
        {"finish", "finish", COLUMN_TEXT},     {"corded", "corded", COLUMN_YES},
        {"due", "due", COLUMN_TEXT},           {"state", "state", COLUMN_TEXT}};
    static const struct column pieces[] = {{"piece", "code", COLUMN_TEXT},
                                           {"number", "piece", COLUMN_NUMBER},
                                           {"side", "side", COLUMN_TEXT},
                                           {"length", "length", COLUMN_LENGTH},
                                           {"state", "state", COLUMN_TEXT}};
    static const struct column lines[] = {{"part", "part", COLUMN_TEXT},
                                          {"name", "name", COLUMN_TEXT},
                                          {"wanted", "wanted", COLUMN_LENGTH},
                                          {"picked", "picked", COLUMN_LENGTH},
                                          {"reserved", "reserved", COLUMN_LENGTH},
                                          {"short", "short", COLUMN_LENGTH},
                                          {"why", "why", COLUMN_TEXT | COLUMN_MINOR}};
    fields_print(screen, fields, sizeof fields / sizeof fields[0], kit);
    putc('\n', screen->file);
    table_print(screen, pieces, sizeof pieces / sizeof pieces[0], json_object_get(kit, "pieces"),
                "No pieces.");
    putc('\n', screen->file);
    table_print(screen, lines, sizeof lines / sizeof lines[0], json_object_get(kit, "lines"), "No parts.");
    putc('\n', screen->file);
}

enum { SPLIT_TEXT = 120 }; /* as wide as the pick list has room for */

/* "K3Q 9, K4O 7"; a lone kit takes all. A reel is cut for each kit by itself. */
static void add_share(char text[SPLIT_TEXT], const json_t *stop, const json_t *share) {
    bool lone = json_array_size(json_object_get(stop, "split")) == 1;
    size_t used = strlen(text);
    snprintf(text + used, SPLIT_TEXT - used, "%s%s", used > 0 ? ", " : "",
             json_string_value(json_object_get(share, "kit")));
    used = strlen(text);
    if (!lone)
        snprintf(text + used, SPLIT_TEXT - used, " %.10g",
                 json_number_value(json_object_get(share, "quantity")));
}

static void add_row(json_t *rows, const json_t *stop, const char *into, double quantity) {
    json_t *row = json_copy((json_t *)(uintptr_t)stop);
    json_object_del(row, "split");
    json_object_set_new(row, "quantity", json_real(quantity));
    json_object_set_new(row, "into", json_string(into));
    json_array_append_new(rows, row);
}

/* The stops of the walk with the kits that each is for, in as many rows as their names need. */
static json_t *stop_rows(const json_t *answer) {
    json_t *rows = json_array();
    size_t index, place;
    const json_t *stop, *share;
    json_array_foreach(json_object_get(answer, "stops"), index, stop) {
        char text[SPLIT_TEXT] = "";
        double quantity = 0;
        json_array_foreach(json_object_get(stop, "split"), place, share) {
            if (strlen(text) > SPLIT_TEXT - 44) {
                add_row(rows, stop, text, quantity);
                text[0] = '\0';
                quantity = 0;
            }
            add_share(text, stop, share);
            quantity += json_number_value(json_object_get(share, "quantity"));
        }
        add_row(rows, stop, text, quantity);
    }
    return rows;
}

static void show_walk(const struct screen *screen, const json_t *answer) {
    static const struct column walk[] = {{"bin", "bin", COLUMN_TEXT},
                                         {"code", "code", COLUMN_TEXT},
                                         {"part", "part", COLUMN_TEXT},
                                         {"code", "part_code", COLUMN_TEXT | COLUMN_MINOR},
                                         {"name", "name", COLUMN_TEXT},
                                         {"instead of", "replaces", COLUMN_TEXT},
                                         {"batch", "batch", COLUMN_TEXT | COLUMN_MINOR},
                                         {"quantity", "quantity", COLUMN_LENGTH},
                                         {"into", "into", COLUMN_TEXT}};
    static const struct column lacking[] = {{"part", "part", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"quantity", "quantity", COLUMN_LENGTH},
                                            {"kit", "kit", COLUMN_TEXT},
                                            {"order", "order", COLUMN_TEXT}};
    screen_text(screen, PAINT_BOLD, "The walk:\n");
    json_t *rows = stop_rows(answer);
    table_print(screen, walk, sizeof walk / sizeof walk[0], rows, "Nothing to pick now.");
    json_decref(rows);
    if (json_array_size(json_object_get(answer, "short")) > 0) {
        screen_text(screen, PAINT_YELLOW, "\nShort:\n");
        table_print(screen, lacking, sizeof lacking / sizeof lacking[0], json_object_get(answer, "short"),
                    "");
    }
}

static void show(const struct program *program, const json_t *answer) {
    size_t index;
    json_t *kit;
    if (!program_switch(program, "walk"))
        json_array_foreach(json_object_get(answer, "kits"), index, kit) show_lines(&program->screen, kit);
    show_walk(&program->screen, answer);
}

/* The name of what is picked there, and what it stands in for. */
static json_t *picked_name(const json_t *stop) {
    const json_t *replaces = json_object_get(stop, "replaces");
    return replaces == NULL
               ? json_incref(json_object_get(stop, "name"))
               : json_sprintf("%s, instead of %s", json_string_value(json_object_get(stop, "name")),
                              json_string_value(replaces));
}

/* Counted parts are whole numbers; lengths may have a tenth. */
static json_t *whole(const json_t *quantity) {
    double value = json_number_value(quantity);
    return value == floor(value) ? json_integer((json_int_t)value) : json_real(value);
}

/* The walk as the pick list takes it; kits are named by what is written on their boxes. */
static json_t *pick_list(const json_t *answer) {
    json_t *kits = json_array(), *lines = json_array();
    size_t index;
    json_t *row;
    json_array_foreach(json_object_get(answer, "kits"), index, row) json_array_append_new(
        kits, json_pack("{s:O, s:O, s:O, s:O*}", "code", json_object_get(row, "kit"), "order",
                        json_object_get(row, "order"), "window", json_object_get(row, "window"), "room",
                        json_object_get(row, "room")));
    json_t *rows = stop_rows(answer);
    json_array_foreach(rows, index, row) json_array_append_new(
        lines, json_pack("{s:O, s:o, s:O, s:O*, s:o, s:O, s:O}", "bin", json_object_get(row, "bin"), "name",
                         picked_name(row), "part", json_object_get(row, "part"), "batch",
                         json_object_get(row, "batch"), "quantity", whole(json_object_get(row, "quantity")),
                         "unit", json_object_get(row, "unit"), "kits", json_object_get(row, "into")));
    json_decref(rows);
    return json_pack("{s:o, s:o}", "kits", kits, "lines", lines);
}

static int draw(struct program *program, const json_t *answer, const char *path) {
    json_t *document = pick_list(answer);
    int code =
        json_array_size(json_object_get(document, "lines")) == 0
            ? program_wrong(program, EXIT_REFUSED, "--sheet", "Nothing of these kits can be picked now.")
            : sheet_file_write(program, "pick-list", document, path);
    json_decref(document);
    return code;
}

static int run(struct program *program) {
    json_t *kits = json_array(), *answer = NULL;
    for (int i = 0; i < program->argument_count; i++)
        json_array_append_new(kits, json_string(program->arguments[i]));
    int code = program_call(program, "kit.show", json_pack("{s:o}", "kits", kits), &answer);
    const char *sheet = program_option(program, "sheet");
    if (code == EXIT_DONE && sheet != NULL)
        code = draw(program, answer, sheet);
    else if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {{"walk", NULL, "Only the walk through the bins"},
                                                {"sheet", "FILE", "Draw the pick list into this PDF file"},
                                                {0}};

const struct command command_kit_show = {
    .name = "kit show",
    .group = GROUP_STORES,
    .arguments = "KIT...",
    .least = 1,
    .most = 40,
    .summary = "Kits with their pieces and parts, and one walk through the bins that picks them all",
    .more = "A kit is the code on its label, or ORDER/WINDOW.",
    .options = options,
    .run = run,
};
