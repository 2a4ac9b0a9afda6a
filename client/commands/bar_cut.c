/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"

#include <string.h>

/* "P12X,P13V" as a list of codes. */
static json_t *split(const char *text) {
    json_t *list = json_array();
    while (text != NULL && *text != '\0') {
        size_t length = strcspn(text, ", ");
        if (length > 0)
            json_array_append_new(list, json_stringn(text, length));
        text += length + strspn(text + length, ", ");
    }
    return list;
}

static void view(const struct screen *screen, const json_t *answer) {
    static const struct column fields[] = {{"bar", "length", COLUMN_LENGTH},
                                           {"trim", "lead_trim", COLUMN_LENGTH},
                                           {"pieces", "pieces_length", COLUMN_LENGTH},
                                           {"kerfs", "kerf_length", COLUMN_LENGTH},
                                           {"mis-cut", "waste", COLUMN_LENGTH},
                                           {"left", "remainder", COLUMN_LENGTH},
                                           {"bar was off by", "correction", COLUMN_LENGTH},
                                           {"offcut for the rack", "offcut.code", COLUMN_TEXT},
                                           {"to place", "offcut.place", COLUMN_TEXT},
                                           {"plan", "plan", COLUMN_NUMBER},
                                           {"plan done", "plan_done", COLUMN_YES}};
    fields_print(screen, fields, sizeof fields / sizeof fields[0], answer);
    labels_view(screen, answer);
}

static int run(struct program *program) {
    ell_length left;
    if (!program_length(program, "remainder", 0, ELL_LENGTH_MAX, -1, &left))
        return EXIT_USAGE;
    json_t *body = json_pack("{s:s, s:o, s:s*, s:s*, s:b}", "bar", program->arguments[0], "spoiled",
                             split(program_option(program, "spoiled")), "place",
                             program_option(program, "place"), "reason", program_option(program, "reason"),
                             "confirmed", program_switch(program, "confirmed"));
    char text[ELL_LENGTH_TEXT];
    if (left >= 0)
        json_object_set_new(body, "remainder", json_string(ell_length_text(left, text)));
    json_t *answer = NULL;
    int code = program_call(program, "bar.cut", body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        view(&program->screen, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"remainder", "LENGTH", "What is really left of it, as measured [as planned]"},
    {"spoiled", "CODES", "Pieces that were mis-cut, parted by commas; they are planned again"},
    {"place", "PLACE", "Where what is left goes on the rack [where the bar lay]"},
    {"reason", "TEXT", "What happened, for the history"},
    {"confirmed", NULL, "The measure is right although it is far from the plan"},
    {0}};

const struct command command_bar_cut = {
    .name = "bar cut",
    .group = GROUP_SAW,
    .arguments = "BAR",
    .least = 1,
    .most = 1,
    .summary = "Confirm that a bar of a released plan was cut",
    .more = "BAR is the code on the bar or offcut, as scanned. Caution: measure only when the blade stands "
            "still and the saw "
            "is switched off.",
    .options = options,
    .run = run,
};
