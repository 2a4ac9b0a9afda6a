/* SPDX-License-Identifier: Apache-2.0 */
#include "bench/drive.h"
#include "bench/input.h"
#include "sheet_file.h"

#include <string.h>

static int draw_codes(struct program *program, const char *path) {
    json_t *codes = json_array();
    char code[CODE_TEXT];
    const struct control *control;
    for (size_t i = 0; (control = control_at(i, code)) != NULL; i++)
        json_array_append_new(codes, json_pack("{s:s, s:s, s:s*}", "code", code, "name", control->name,
                                               "what", control->what[0] != '\0' ? control->what : NULL));
    json_t *document = json_pack("{s:o}", "codes", codes);
    int result = sheet_file_write(program, "control-codes", document, path);
    json_decref(document);
    return result;
}

static int run(struct program *program) {
    const char *codes = program_option(program, "codes"), *unit = program_option(program, "unit");
    if (codes != NULL)
        return draw_codes(program, codes);
    if (unit == NULL)
        unit = "mm";
    if (strcmp(unit, "mm") != 0 && strcmp(unit, "cm") != 0 && strcmp(unit, "in") != 0)
        return program_wrong(program, EXIT_USAGE, "--unit", "One of mm, cm and in is wanted.");
    if (program->settings.request_id[0] != '\0')
        return program_wrong(program, EXIT_USAGE, "--request-id",
                             "A session asks many things, each under an id of its own.");
    return drive_session(program, unit);
}

static const struct command_option options[] = {
    {"codes", "FILE", "Draw the sheet of control codes into this PDF file, and end"},
    {"unit", "UNIT", "What a typed number is in, and lengths are shown in: mm, cm or in [mm]"},
    {0}};

const struct command command_bench = {
    .name = "bench",
    .group = GROUP_ANYONE,
    .summary = "A session with a scanner: scan what is in hand, and it says what to do next",
    .more = "Reads a scanned or typed line at a time. A kit: walks through the bins; scan each bin, then the "
            "kit; its "
            "pieces; DONE packs it. A bar of a released plan: its cuts to scale; type what was left, or "
            "DONE. A parcel: "
            "sends it off. An offcut, bin, order: says what it is. A number before a scan changes the "
            "quantity; SHORT, "
            "SPOILED, LOST, DAMAGED, UNDO and STOP are typed, or scanned off the sheet that --codes draws. "
            "When the "
            "daemon is away it waits and loses nothing. Of lines from a pipe it ends with 1 when any was "
            "refused; --json prints one JSON line for each: input, outcome (told, done or refused), said, "
            "code (of a "
            "refusal), hand, next, and requests with their ids. Caution: measure only when the blade stands "
            "still and the saw is "
            "switched off.",
    .options = options,
    .run = run,
};
