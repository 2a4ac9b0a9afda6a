/* A window, field by field. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/survey.h"

#include "common/document.h"
#include "common/text.h"

#include <stdio.h>
#include <string.h>

const char *const near_words[] = {"socket", "switch", "radiator", "heater", "pipe", "cable", NULL};

/* Beyond these a measure is not a slip but nonsense; within them the catalogue's practice asks back. */
static const ell_length thinnest = 10 * ELL_MM, widest = 60000 * ELL_MM, highest = 20000 * ELL_MM;

struct reading {
    struct survey *survey;
    struct form form;
    char prefix[12];
};

/* Keeps what was understood of a length that came as text. */
static ell_length noted(struct reading *reading, const char *name, const json_t *value, ell_length length) {
    struct survey *survey = reading->survey;
    if (json_is_string(value) && !reading->form.failed && survey->understood_count < SURVEY_READINGS) {
        struct survey_reading *entry = &survey->understood[survey->understood_count++];
        text_copy(entry->field, sizeof entry->field, reading->prefix);
        text_copy(entry->field + strlen(entry->field), sizeof entry->field - strlen(entry->field), name);
        text_copy(entry->given, sizeof entry->given, json_string_value(value));
        entry->length = length;
    }
    return length;
}

static ell_length length_must(struct reading *reading, const char *name, ell_length least, ell_length most) {
    return noted(reading, name, json_object_get(reading->form.object, name),
                 form_length(&reading->form, name, least, most));
}

static ell_length length_may(struct reading *reading, const char *name, ell_length least, ell_length most) {
    return noted(reading, name, json_object_get(reading->form.object, name),
                 form_length_or(&reading->form, name, least, most, SURVEY_UNKNOWN));
}

static bool inner_open(struct reading *outer, const char *name, struct reading *inner) {
    char path[128];
    const json_t *object = form_object(&outer->form, name);
    if (outer->form.failed)
        return false;
    inner->survey = outer->survey;
    snprintf(inner->prefix, sizeof inner->prefix, "%s.", name);
    form_open(&inner->form, object, form_below(&outer->form, name, -1, path), outer->form.fault);
    outer->form.failed = inner->form.failed;
    return !outer->form.failed;
}

/* One length of a list, read as a field of a box of its own; the fault names the item, not the box. */
static ell_length item_length(struct reading *reading, const char *name, const json_t *array, size_t index) {
    static const char field[] = "length";
    char path[128];
    struct form *form = &reading->form, inner;
    json_t *value = json_array_get(array, index), *box = json_pack("{sO}", field, value);
    form_open(&inner, box, form_below(form, name, (long)index, path), form->fault);
    ell_length length = form_length(&inner, field, thinnest, widest);
    if (inner.failed)
        text_copy(form->fault->where, sizeof form->fault->where, path);
    form->failed = form->failed || inner.failed;
    json_decref(box);
    return noted(reading, name, value, length);
}

static void widths_read(struct reading *reading) {
    struct survey *survey = reading->survey;
    struct form *form = &reading->form;
    bool one = form_has(form, "width"), three = form_has(form, "widths");
    if (one && three)
        form_wrong(form, "widths", "contradiction", "Give either \"width\" or \"widths\", not both.");
    else if (one && survey->place == PLACE_INSIDE)
        form_wrong(
            form, "width", "contradiction",
            "Inside a recess the width is measured at the top, the middle and the bottom: give \"widths\".");
    else if (three && survey->place == PLACE_OUTSIDE)
        form_wrong(form, "widths", "contradiction",
                   "Outside the recess one \"width\" of the opening is wanted.");
    if (survey->place == PLACE_OUTSIDE) {
        survey->width = length_must(reading, "width", thinnest, widest);
        for (int i = 0; i < 3; i++)
            survey->widths[i] = survey->width;
        return;
    }
    const json_t *array = form_array(form, "widths", 3, 3);
    for (size_t i = 0; i < 3 && !form->failed; i++) {
        survey->widths[i] = item_length(reading, "widths", array, i);
        if (i == 0 || survey->widths[i] < survey->width)
            survey->width = survey->widths[i];
    }
}

static void bay_read(struct reading *outer) {
    struct survey *survey = outer->survey;
    struct reading reading;
    if (!inner_open(outer, "bay", &reading))
        return;
    const json_t *straights = form_array(&reading.form, "straights", 2, SURVEY_STRAIGHTS);
    size_t count = json_array_size(straights);
    const json_t *angles =
        form_array(&reading.form, "angles", count > 0 ? count - 1 : 1, count > 0 ? count - 1 : 1);
    for (size_t i = 0; i < count && !reading.form.failed; i++) {
        survey->straights[i] = item_length(&reading, "straights", straights, i);
        survey->width += survey->straights[i];
    }
    for (size_t i = 0; i + 1 < count && !reading.form.failed; i++) {
        const json_t *angle = json_array_get(angles, i);
        survey->angles[i] = json_number_value(angle);
        if (!json_is_number(angle) || !(survey->angles[i] >= 30 && survey->angles[i] < 180))
            form_wrong(&reading.form, "angles", "out-of-range",
                       "Item %zu must be the inside angle between two straights, 30 to under 180 degrees.",
                       i + 1);
    }
    for (int i = 0; i < 3; i++)
        survey->widths[i] = survey->width;
    survey->straight_count = count;
    outer->form.failed = !form_close(&reading.form);
}

static void curtain_read(struct reading *outer) {
    struct survey_curtain *curtain = &outer->survey->curtain;
    static const char *const reaches[] = {"floor", "sill", NULL};
    struct reading reading;
    if (!inner_open(outer, "curtain", &reading))
        return;
    struct form *form = &reading.form;
    bool measured = form_has(form, "drop");
    if (measured == form_has(form, "reach"))
        form_wrong(form, "drop", "contradiction",
                   "Give either \"drop\" or \"reach\" (floor or sill), not both.");
    if (measured)
        curtain->drop = length_must(&reading, "drop", thinnest, highest);
    else
        curtain->reach = (enum curtain_reach)(REACH_FLOOR + form_choice(form, "reach", reaches));
    curtain->clearance = length_may(&reading, "clearance", -1000 * ELL_MM, 1000 * ELL_MM);
    form_text(form, "heading", curtain->heading, sizeof curtain->heading);
    curtain->fullness = form_number(form, "fullness", 1, 5);
    curtain->face = form_number(form, "face", 1, 5000);
    curtain->lining = form_number_or(form, "lining", 0, 5000, 0);
    curtain->interlining = form_number_or(form, "interlining", 0, 5000, 0);
    curtain->thickness = length_may(&reading, "thickness", 1, 50 * ELL_MM);
    curtain->hem = length_may(&reading, "hem", 0, 1000 * ELL_MM);
    curtain->heading_allowance = length_may(&reading, "heading_allowance", 0, 1000 * ELL_MM);
    curtain->overlap = length_may(&reading, "overlap", 0, 500 * ELL_MM);
    curtain->back = length_may(&reading, "return", 0, 500 * ELL_MM);
    curtain->cloth_width = length_may(&reading, "cloth_width", 300 * ELL_MM, 10000 * ELL_MM);
    curtain->pattern_repeat = length_may(&reading, "pattern_repeat", 0, 3000 * ELL_MM);
    outer->form.failed = !form_close(form);
}

static void near_read(struct reading *outer) {
    struct survey *survey = outer->survey;
    const json_t *array = form_array(&outer->form, "near", 0, SURVEY_NEAR);
    for (size_t i = 0; i < json_array_size(array) && !outer->form.failed; i++) {
        struct survey_near *thing = &survey->near[i];
        struct reading reading = {.survey = survey, .prefix = "near."};
        char path[128];
        form_open(&reading.form, json_array_get(array, i), form_below(&outer->form, "near", (long)i, path),
                  outer->form.fault);
        thing->what = (enum near_what)form_choice(&reading.form, "what", near_words);
        thing->from_left = length_must(&reading, "from_left", -widest, widest);
        thing->width = length_must(&reading, "width", 1, widest);
        thing->from_floor = length_must(&reading, "from_floor", 0, highest);
        thing->height = length_must(&reading, "height", 1, highest);
        outer->form.failed = !form_close(&reading.form);
        survey->near_count++;
    }
}

static void opening_read(struct reading *reading) {
    struct survey *survey = reading->survey;
    struct form *form = &reading->form;
    survey->position = (enum position)form_choice(form, "position", position_words);
    survey->place = (enum place)form_choice(form, "place", place_words);
    if (!form_has(form, "bay"))
        widths_read(reading);
    else if (survey->place == PLACE_INSIDE || form_has(form, "width") || form_has(form, "widths"))
        form_wrong(form, "bay", "contradiction",
                   "A bay is measured by its straights and fixed outside; leave width and inside away.");
    else
        bay_read(reading);
    survey->height = length_must(reading, "height", thinnest, highest);
    survey->ceiling = length_may(reading, "ceiling", 0, highest);
    survey->floor = length_may(reading, "floor", 0, highest);
    survey->wall_left = length_may(reading, "wall_left", 0, widest);
    survey->wall_right = length_may(reading, "wall_right", 0, widest);
}

bool survey_read(const json_t *window, const char *path, struct survey *survey, struct fault *fault) {
    struct survey read = {.width = 0};
    struct reading reading = {.survey = &read};
    struct form *form = &reading.form;
    text_copy(read.path, sizeof read.path, path);
    form_open(form, window, path, fault);
    form_text(form, "window", read.window, sizeof read.window);
    form_text_or(form, "room", read.room, sizeof read.room, "");
    form_text_or(form, "notes", read.notes, sizeof read.notes, "");
    opening_read(&reading);
    form_text(form, "substrate", read.substrate, sizeof read.substrate);
    read.batten = form_boolean_or(form, "batten", false);
    read.control = (enum control)form_choice(form, "control", control_words);
    read.draw = (enum draw)form_choice(form, "draw", draw_words);
    form_text(form, "system", read.system, sizeof read.system);
    form_text(form, "finish", read.finish, sizeof read.finish);
    read.carrier_longest = length_may(&reading, "carrier_longest", 100 * ELL_MM, widest);
    read.children = form_boolean_or(form, "children", true);
    read.cord_drop = length_may(&reading, "cord_drop", 100 * ELL_MM, highest);
    read.measure_confirmed = form_boolean_or(form, "measure_confirmed", false);
    curtain_read(&reading);
    near_read(&reading);
    if (!form_close(form))
        return false;
    *survey = read;
    return true;
}
