/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "sheet_file.h"

#include <string.h>

static void show(const struct screen *screen, const json_t *answer) {
    static const struct column fields[] = {{"order", "order", COLUMN_TEXT},
                                           {"customer", "customer", COLUMN_TEXT},
                                           {"due", "due", COLUMN_TEXT},
                                           {"state", "state", COLUMN_TEXT}};
    static const struct column parcels[] = {
        {"parcel", "parcel", COLUMN_NUMBER},  {"code", "code", COLUMN_TEXT},    {"is", "state", COLUMN_TEXT},
        {"carrier", "carrier", COLUMN_TEXT},  {"in", "wrap", COLUMN_TEXT},      {"g", "mass", COLUMN_NUMBER},
        {"length", "outside", COLUMN_LENGTH}, {"girth", "girth", COLUMN_LENGTH}};
    static const struct column contents[] = {
        {"quantity", "quantity", COLUMN_NUMBER}, {"what", "name", COLUMN_TEXT}, {"", "note", COLUMN_TEXT}};
    size_t index;
    const json_t *parcel;
    fields_print(screen, fields, sizeof fields / sizeof fields[0], answer);
    putc('\n', screen->file);
    if (json_is_true(json_object_get(answer, "planned")))
        screen_text(screen, PAINT_BOLD, "Not packed yet; it would be:\n");
    table_print(screen, parcels, sizeof parcels / sizeof parcels[0], json_object_get(answer, "parcels"),
                "No parcels.");
    json_array_foreach(json_object_get(answer, "parcels"), index, parcel) {
        fprintf(screen->file, "\nParcel %zu:\n", index + 1);
        table_print(screen, contents, sizeof contents / sizeof contents[0],
                    json_object_get(parcel, "contents"), "Nothing.");
    }
}

/* A sheet's document out of the answer: only the fields it knows, `inner` of each parcel. */
static json_t *document_of(const json_t *answer, const char *const *inner) {
    static const char *const outer[] = {"code", "order", "customer", "due", "notes", "unit", NULL};
    json_t *document = json_object(), *parcels = json_array();
    size_t index;
    const json_t *parcel;
    for (const char *const *name = outer; *name != NULL; name++)
        json_object_set(document, *name, json_object_get(answer, *name));
    json_array_foreach(json_object_get(answer, "parcels"), index, parcel) {
        json_t *shown = json_object();
        for (const char *const *name = inner; *name != NULL; name++)
            json_object_set(shown, *name, json_object_get(parcel, *name));
        json_array_append_new(parcels, shown);
    }
    json_object_set_new(document, "parcels", parcels);
    return document;
}

static int draw(struct program *program, const json_t *answer, const char *kind, const char *path) {
    static const char *const list[] = {"parcel", "wrap", "mass", "longest", "contents", NULL};
    static const char *const note[] = {"code", "parcel", "carrier", "wrap", "mass", "outside", "girth", NULL};
    bool is_note = strcmp(kind, "dispatch-note") == 0;
    if (is_note && json_is_true(json_object_get(answer, "planned")))
        return program_wrong(program, EXIT_REFUSED, "--note",
                             "The order is not packed yet; its parcels have no labels.");
    json_t *document = document_of(answer, is_note ? note : list);
    int code = sheet_file_write(program, kind, document, path);
    json_decref(document);
    return code;
}

static int run(struct program *program) {
    json_t *answer = NULL;
    int code =
        program_call(program, "parcel.list", json_pack("{s:s}", "order", program->arguments[0]), &answer);
    const char *sheet = program_option(program, "sheet"), *note = program_option(program, "note");
    if (code == EXIT_DONE && sheet != NULL)
        code = draw(program, answer, "packing-list", sheet);
    if (code == EXIT_DONE && note != NULL)
        code = draw(program, answer, "dispatch-note", note);
    if (code == EXIT_DONE && sheet == NULL && note == NULL && !program_json(program, answer))
        show(&program->screen, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {{"sheet", "FILE", "Draw the packing list into this PDF file"},
                                                {"note", "FILE", "Draw the dispatch note into this PDF file"},
                                                {0}};

const struct command command_parcel_list = {
    .name = "parcel list",
    .group = GROUP_STORES,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "The packing list: what of an order goes into which parcel, by which carrier",
    .more = "Before the order is packed it shows how it would be split, so that tubes and boxes can be made "
            "ready.",
    .options = options,
    .run = run,
};
