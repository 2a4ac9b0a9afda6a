/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <string.h>

/* What can be done, each with its command, which is called as its verb is. */
static void show_can(const struct screen *screen, const json_t *found) {
    size_t index;
    json_t *step;
    if (json_array_size(json_object_get(found, "can")) == 0)
        fputs("  Nothing is to be done with it.\n", screen->file);
    json_array_foreach(json_object_get(found, "can"), index, step) {
        fputs("  ", screen->file);
        screen_text(screen, PAINT_GREEN, json_string_value(json_object_get(step, "say")));
        const char *verb = json_string_value(json_object_get(step, "verb"));
        char command[64] = "  ellwand ";
        for (size_t used = strlen(command); verb != NULL && *verb && used < sizeof command - 1; verb++)
            command[used++] = *verb == '.' ? ' ' : *verb;
        screen_text(screen, PAINT_DIM, command);
        putc('\n', screen->file);
    }
}

static void show(const struct screen *screen, const json_t *found) {
    static const struct column fields[] = {{"state", "state", COLUMN_TEXT},
                                           {"order", "order", COLUMN_TEXT},
                                           {"window", "window", COLUMN_TEXT},
                                           {"room", "room", COLUMN_TEXT},
                                           {"kit", "kit", COLUMN_TEXT},
                                           {"plan", "plan", COLUMN_NUMBER},
                                           {"bar", "bar", COLUMN_TEXT},
                                           {"place", "place", COLUMN_TEXT},
                                           {"batch", "batch", COLUMN_TEXT},
                                           {"to pick", "left", COLUMN_NUMBER},
                                           {"to match", "pieces_left", COLUMN_NUMBER},
                                           {"due", "due", COLUMN_TEXT}};
    static const struct column parts[] = {{"part", "part", COLUMN_TEXT},
                                          {"name", "name", COLUMN_TEXT},
                                          {"batch", "batch", COLUMN_TEXT},
                                          {"on hand", "on_hand", COLUMN_LENGTH},
                                          {"reserved", "reserved", COLUMN_LENGTH}};
    static const struct column bins[] = {{"bin", "bin", COLUMN_TEXT},
                                         {"batch", "batch", COLUMN_TEXT},
                                         {"on hand", "on_hand", COLUMN_LENGTH},
                                         {"reserved", "reserved", COLUMN_LENGTH}};
    static const struct column kits[] = {
        {"kit", "kit", COLUMN_TEXT}, {"window", "window", COLUMN_TEXT}, {"state", "state", COLUMN_TEXT}};
    if (json_object_get(found, "void") != NULL) {
        screen_text(screen, PAINT_RED, json_string_value(json_object_get(found, "say")));
        putc('\n', screen->file);
    }
    screen_text(screen, PAINT_BOLD, json_string_value(json_object_get(found, "name")));
    putc('\n', screen->file);
    fields_print(screen, fields, sizeof fields / sizeof fields[0], found);
    rows_share_unit(found, "bins");
    if (json_object_get(found, "parts") != NULL)
        table_print(screen, parts, sizeof parts / sizeof parts[0], json_object_get(found, "parts"),
                    "It is empty.");
    if (json_object_get(found, "bins") != NULL)
        table_print(screen, bins, sizeof bins / sizeof bins[0], json_object_get(found, "bins"),
                    "None is on hand.");
    if (json_object_get(found, "kits") != NULL)
        table_print(screen, kits, sizeof kits / sizeof kits[0], json_object_get(found, "kits"), "");
    show_can(screen, found);
}

static int run(struct program *program) {
    int code = EXIT_DONE;
    for (int i = 0; i < program->argument_count && code == EXIT_DONE; i++) {
        json_t *found = NULL;
        code = program_call(program, "scan.look", json_pack("{s:s}", "code", program->arguments[i]), &found);
        if (code == EXIT_DONE && !program_json(program, found)) {
            if (i > 0)
                putc('\n', program->screen.file);
            show(&program->screen, found);
        }
        if (code == EXIT_DONE && json_object_get(found, "void") != NULL)
            code = EXIT_REFUSED;
        json_decref(found);
    }
    return code;
}

const struct command command_scan = {
    .name = "scan",
    .group = GROUP_ANYONE,
    .arguments = "CODE...",
    .least = 1,
    .most = -1,
    .more = "Ends with 1 for a void label: one that was printed again.",
    .summary = "What a scanned code is, how it stands, and what can be done with it now",
    .run = run,
};
