/* SPDX-License-Identifier: Apache-2.0 */
#include "takeoff_view.h"

#include "advice_view.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* Bracket marks on one line: what the fitter measures off. */
static void marks(const struct screen *screen, const json_t *brackets) {
    static const struct column from_left = {"", "from_left", COLUMN_LENGTH};
    size_t at;
    json_t *mark;
    screen_heading(screen, "Bracket marks, mm from the left end");
    json_array_foreach((json_t *)brackets, at, mark) {
        char text[256];
        const char *kind = json_string_value(json_object_get(mark, "kind"));
        field_text(mark, &from_left, text);
        fprintf(screen->file, "%s%s%s", at > 0 ? "  " : "", text,
                kind != NULL && strcmp(kind, "join") == 0 ? " (join)" : "");
    }
    putc('\n', screen->file);
}

static void tables(const struct screen *screen, const json_t *takeoff) {
    static const struct column pieces[] = {{"piece", "piece", COLUMN_NUMBER},
                                           {"side", "side", COLUMN_TEXT},
                                           {"length", "length", COLUMN_LENGTH}};
    static const struct column parts[] = {
        {"part", "part", COLUMN_TEXT}, {"name", "name", COLUMN_TEXT}, {"quantity", "quantity", COLUMN_LENGTH},
        {"unit", "unit", COLUMN_TEXT}, {"why", "why", COLUMN_TEXT},
    };
    static const struct column curtains[] = {
        {"curtain", "side", COLUMN_TEXT},       {"width", "width", COLUMN_LENGTH},
        {"drop", "drop", COLUMN_LENGTH},        {"hooks", "hooks", COLUMN_NUMBER},
        {"weight, g", "weight", COLUMN_NUMBER},
    };
    screen_heading(screen, "Pieces to cut");
    table_print(screen, pieces, COUNT(pieces), json_object_get(takeoff, "pieces"), "None.");
    marks(screen, json_object_get(takeoff, "brackets"));
    screen_heading(screen, "Parts (by length: mm)");
    table_print(screen, parts, COUNT(parts), json_object_get(takeoff, "parts"), "None.");
    const json_t *each = json_object_get(json_object_get(takeoff, "curtains"), "each");
    if (json_array_size(each) == 0)
        return;
    screen_heading(screen, "Curtains");
    table_print(screen, curtains, COUNT(curtains), each, "");
}

void takeoff_view(const struct screen *screen, const json_t *takeoff) {
    static const struct column head[] = {
        {"window", "window", COLUMN_TEXT},
        {"room", "room", COLUMN_TEXT},
        {"system", "system", COLUMN_TEXT},
        {"finish", "finish", COLUMN_TEXT},
        {"control", "control", COLUMN_TEXT},
        {"track, end to end", "overall", COLUMN_LENGTH},
        {"past the opening, left", "past_left", COLUMN_LENGTH},
        {"past the opening, right", "past_right", COLUMN_LENGTH},
        {"above the opening", "above", COLUMN_LENGTH},
        {"screw", "fixing.screw", COLUMN_TEXT},
        {"screws each bracket", "fixing.screws", COLUMN_NUMBER},
        {"plug", "fixing.plug", COLUMN_TEXT},
        {"drill", "fixing.drill", COLUMN_NUMBER},
        {"hole depth", "fixing.depth", COLUMN_LENGTH},
        {"cord", "cord.length", COLUMN_LENGTH},
        {"curtains weigh, g", "hanging.weight", COLUMN_NUMBER},
        {"bracket load, % of allowed", "hanging.bracket_use", COLUMN_NUMBER},
        {"screw load, % of allowed", "hanging.screw_use", COLUMN_NUMBER},
        {"curtain stack, left", "stack.left", COLUMN_LENGTH},
        {"curtain stack, right", "stack.right", COLUMN_LENGTH},
    };
    fields_print(screen, head, COUNT(head), takeoff);
    tables(screen, takeoff);
    json_t *gathered = json_array();
    advice_add(gathered, json_string_value(json_object_get(takeoff, "window")),
               json_object_get(takeoff, "advice"), true);
    advice_print(screen, gathered);
    json_decref(gathered);
}
