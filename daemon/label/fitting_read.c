/* SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting.h"

#include "label/kinds.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* Fields that a sheet does not show are passed over: the take-off may grow. */
static bool read_enough(const struct form *form) {
    return !form->failed;
}

static ell_length any_length(struct form *form, const char *name) {
    return form_length(form, name, -ELL_LENGTH_MAX, ELL_LENGTH_MAX);
}

static ell_length length_or_unknown(struct form *form, const char *name) {
    return form_length_or(form, name, -ELL_LENGTH_MAX, ELL_LENGTH_MAX, FITTING_UNKNOWN);
}

static void read_pieces(struct form *takeoff, struct fitting *fitting) {
    const json_t *list = form_array(takeoff, "pieces", 1, FITTING_PIECES);
    size_t index;
    json_t *json;
    ell_length sum = 0;
    json_array_foreach(list, index, json) {
        struct form form;
        char path[128];
        form_open(&form, json, form_below(takeoff, "pieces", (long)index, path), takeoff->fault);
        fitting->pieces[fitting->piece_count++] = form_length(&form, "length", 1, ELL_LENGTH_MAX);
        takeoff->failed = takeoff->failed || form.failed;
        sum += fitting->pieces[index];
        if (index + 1 < json_array_size(list))
            fitting->joins[fitting->join_count++] = sum;
    }
}

static void read_marks(struct form *takeoff, struct fitting *fitting) {
    static const char *const kinds[] = {"bracket", "join", NULL};
    const json_t *list = form_array(takeoff, "brackets", 1, FITTING_MARKS);
    size_t index;
    json_t *json;
    json_array_foreach(list, index, json) {
        struct form form;
        char path[128];
        struct fitting_mark *mark = &fitting->marks[fitting->mark_count++];
        form_open(&form, json, form_below(takeoff, "brackets", (long)index, path), takeoff->fault);
        mark->from_left = any_length(&form, "from_left");
        mark->from_midpoint = any_length(&form, "from_midpoint");
        mark->join = form_choice(&form, "kind", kinds) == 1;
        takeoff->failed = takeoff->failed || form.failed;
    }
}

static void read_bends(struct form *takeoff, struct fitting *fitting) {
    const json_t *list = form_array(takeoff, "bends", 0, FITTING_BENDS);
    size_t index;
    json_t *json;
    json_array_foreach(list, index, json) {
        struct form form;
        char path[128];
        size_t at = fitting->bend_count++;
        form_open(&form, json, form_below(takeoff, "bends", (long)index, path), takeoff->fault);
        fitting->bends[at].from_left = any_length(&form, "from_left");
        fitting->bends[at].length = form_length(&form, "length", 0, ELL_LENGTH_MAX);
        fitting->bends[at].radius = form_length(&form, "radius", 0, ELL_LENGTH_MAX);
        fitting->bends[at].angle = form_number(&form, "angle", 1, 359);
        takeoff->failed = takeoff->failed || form.failed;
    }
}

static void read_parts(struct form *takeoff, struct fitting *fitting) {
    static const char *const units[] = {"each", "length", NULL};
    const json_t *list = form_array(takeoff, "parts", 0, FITTING_PARTS);
    size_t index;
    json_t *json;
    json_array_foreach(list, index, json) {
        struct form form;
        char path[128], text[ELL_LENGTH_TEXT];
        struct fitting_part *part = &fitting->parts[fitting->part_count++];
        form_open(&form, json, form_below(takeoff, "parts", (long)index, path), takeoff->fault);
        form_text(&form, "name", part->name, sizeof part->name);
        form_text_or(&form, "role", part->role, sizeof part->role, "");
        if (form_choice(&form, "unit", units) == 0)
            snprintf(part->quantity, sizeof part->quantity, "%" PRId64,
                     form_integer(&form, "quantity", 0, 1000000));
        else
            snprintf(part->quantity, sizeof part->quantity, "%.20s mm",
                     ell_length_text(form_length(&form, "quantity", 0, 10000000 * ELL_MM), text));
        takeoff->failed = takeoff->failed || form.failed;
    }
}

static void read_advice(struct form *takeoff, struct fitting *fitting) {
    static const char *const severities[] = {"note", "caution", "refusal", NULL};
    const json_t *list = form_array(takeoff, "advice", 0, FITTING_ADVICE);
    size_t index;
    json_t *json;
    json_array_foreach(list, index, json) {
        struct form form;
        char path[128];
        struct fitting_advice *advice = &fitting->advice[fitting->advice_count++];
        form_open(&form, json, form_below(takeoff, "advice", (long)index, path), takeoff->fault);
        form_text_or(&form, "code", advice->code, sizeof advice->code, "");
        form_text(&form, "message", advice->message, sizeof advice->message);
        form_text_or(&form, "remedy", advice->remedy, sizeof advice->remedy, "");
        advice->severity = form_choice(&form, "severity", severities);
        takeoff->failed = takeoff->failed || form.failed;
    }
}

static void read_fixing(struct form *takeoff, struct fitting *fitting) {
    const json_t *json = form_object(takeoff, "fixing");
    struct form form;
    char path[128];
    if (json == NULL)
        return;
    form_open(&form, json, form_below(takeoff, "fixing", -1, path), takeoff->fault);
    form_text_or(&form, "substrate", fitting->wall, sizeof fitting->wall, "");
    form_text_or(&form, "screw", fitting->screw, sizeof fitting->screw, "");
    form_text_or(&form, "plug", fitting->plug, sizeof fitting->plug, "");
    form_text_or(&form, "note", fitting->note, sizeof fitting->note, "");
    fitting->screws = form_integer_or(&form, "screws", 0, 99, 0);
    fitting->drill = form_number_or(&form, "drill", 0, 100, 0);
    fitting->depth = form_length_or(&form, "depth", 0, 1000 * ELL_MM, 0);
    fitting->pilot = form_boolean_or(&form, "pilot", false);
    takeoff->failed = takeoff->failed || form.failed;
}

/* The greatest of the uses, in percent. */
static void read_hanging(struct form *takeoff, struct fitting *fitting) {
    static const char *const uses[] = {"bracket_use", "screw_use", "track_use", "bending_use", "sag_use"};
    const json_t *json = form_object(takeoff, "hanging");
    struct form form;
    char path[128];
    if (json == NULL)
        return;
    form_open(&form, json, form_below(takeoff, "hanging", -1, path), takeoff->fault);
    fitting->weight = form_number_or(&form, "weight", 0, 1e9, 0);
    for (size_t i = 0; i < sizeof uses / sizeof uses[0]; i++) {
        double use = form_number_or(&form, uses[i], 0, 1e9, 0);
        fitting->worst_use = use > fitting->worst_use ? use : fitting->worst_use;
    }
    takeoff->failed = takeoff->failed || form.failed;
}

static void read_cord(struct form *takeoff, struct fitting *fitting) {
    const json_t *json = form_object(takeoff, "cord");
    struct form form;
    char path[128];
    fitting->cord_drop = fitting->cord_length = FITTING_UNKNOWN;
    if (json == NULL)
        return;
    form_open(&form, json, form_below(takeoff, "cord", -1, path), takeoff->fault);
    fitting->cord_drop = length_or_unknown(&form, "drop");
    fitting->cord_length = length_or_unknown(&form, "length");
    takeoff->failed = takeoff->failed || form.failed;
}

static bool read_takeoff(const json_t *json, const char *path, struct fitting *fitting, struct fault *fault) {
    static const char *const controls[] = {"hand", "cord-left", "cord-right", NULL};
    static const char *const positions[] = {"face", "top", NULL};
    static const char *const places[] = {"outside", "inside", NULL};
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "window", fitting->window, sizeof fitting->window);
    form_text_or(&form, "room", fitting->room, sizeof fitting->room, "");
    form_text(&form, "system", fitting->system, sizeof fitting->system);
    form_text_or(&form, "finish", fitting->finish, sizeof fitting->finish, "");
    form_text_or(&form, "draw", fitting->draw, sizeof fitting->draw, "");
    fitting->control = (enum fitting_control)form_choice(&form, "control", controls);
    fitting->top = form_choice(&form, "position", positions) == 1;
    fitting->inside = form_choice(&form, "place", places) == 1;
    fitting->corded = form_boolean_or(&form, "corded", fitting->control != CONTROL_HAND);
    fitting->refused = form_boolean_or(&form, "refused", false);
    fitting->even = form_boolean_or(&form, "even", true);
    fitting->overall = form_length(&form, "overall", 1, ELL_LENGTH_MAX);
    fitting->midpoint = any_length(&form, "midpoint");
    fitting->past_left = any_length(&form, "past_left");
    fitting->past_right = any_length(&form, "past_right");
    fitting->above = length_or_unknown(&form, "above");
    fitting->height = length_or_unknown(&form, "height");
    read_pieces(&form, fitting);
    read_marks(&form, fitting);
    read_bends(&form, fitting);
    read_parts(&form, fitting);
    read_advice(&form, fitting);
    read_fixing(&form, fitting);
    read_hanging(&form, fitting);
    read_cord(&form, fitting);
    return read_enough(&form);
}

static bool read_survey(const json_t *json, const char *path, struct fitting *fitting, struct fault *fault) {
    struct form form;
    char below[128];
    form_open(&form, json, path, fault);
    fitting->opening_height = length_or_unknown(&form, "height");
    fitting->floor = length_or_unknown(&form, "floor");
    fitting->ceiling = length_or_unknown(&form, "ceiling");
    const json_t *list = form_array(&form, "near", 0, FITTING_NEAR);
    size_t index;
    json_t *item;
    json_array_foreach(list, index, item) {
        struct form near;
        struct fitting_near *thing = &fitting->near[fitting->near_count++];
        form_open(&near, item, form_below(&form, "near", (long)index, below), fault);
        form_text(&near, "what", thing->what, sizeof thing->what);
        thing->from_left = any_length(&near, "from_left");
        thing->width = form_length(&near, "width", 0, ELL_LENGTH_MAX);
        thing->from_floor = any_length(&near, "from_floor");
        thing->height = form_length(&near, "height", 0, ELL_LENGTH_MAX);
        form.failed = form.failed || near.failed;
    }
    return read_enough(&form);
}

bool fitting_read(const json_t *json, const char *path, enum label_unit unit, struct fitting *fitting,
                  struct fault *fault) {
    struct form form;
    char below[128];
    *fitting = (struct fitting){.unit = unit};
    form_open(&form, json, path, fault);
    if (form_has(&form, "code"))
        form_code(&form, CODE_WINDOW, fitting->code);
    const json_t *survey = form_object(&form, "survey"), *takeoff = form_object(&form, "takeoff");
    fitting->join_open = form_boolean_or(&form, "join_open", false);
    if (!form_close(&form))
        return false;
    return read_survey(survey, form_below(&form, "survey", -1, below), fitting, fault) &&
           read_takeoff(takeoff, form_below(&form, "takeoff", -1, below), fitting, fault);
}

const struct fitting_part *fitting_part_of(const struct fitting *fitting, const char *role) {
    for (size_t i = 0; i < fitting->part_count; i++)
        if (strcmp(fitting->parts[i].role, role) == 0)
            return &fitting->parts[i];
    return NULL;
}

bool fitting_has(const struct fitting *fitting, const char *role) {
    return fitting_part_of(fitting, role) != NULL;
}

char *fitting_figure(const struct fitting *fitting, ell_length length, char text[ELL_LENGTH_TEXT]) {
    return unit_figure(length, fitting->unit, text);
}

char *fitting_length(const struct fitting *fitting, ell_length length, char text[UNIT_TEXT]) {
    return unit_text(length, fitting->unit, text);
}
