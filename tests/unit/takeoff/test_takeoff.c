/* Units, documents, the rendering for a terminal, and what is asked back.
 * SPDX-License-Identifier: Apache-2.0 */
#include "demo.h"
#include "surveys.h"
#include "takeoff/takeoff.h"

#include <criterion/criterion.h>
#include <string.h>

/* A survey as a document whose lengths are written in one unit: 0 mm as numbers, 1 mm, 2 cm, 3 m as texts. */
static json_t *length_in(ell_length length, int unit) {
    static const int64_t tenths[] = {10, 10, 100, 10000};
    static const char *const units[] = {"", "mm", "cm", "m"};
    char text[64];
    if (unit == 0)
        return document_length(length);
    snprintf(text, sizeof text, "%.4f %s", (double)length / (double)tenths[unit], units[unit]);
    return json_string(text);
}

static void put_length(json_t *object, const char *name, ell_length length, int unit) {
    if (length != SURVEY_UNKNOWN)
        json_object_set_new(object, name, length_in(length, unit));
}

static json_t *survey_document(const struct survey *survey, int unit) {
    const struct survey_curtain *curtain = &survey->curtain;
    json_t *hang =
        json_pack("{ss,sf,sf,sf,sf}", "heading", curtain->heading, "fullness", curtain->fullness, "face",
                  curtain->face, "lining", curtain->lining, "interlining", curtain->interlining);
    put_length(hang, "drop", curtain->drop, unit);
    put_length(hang, "return", curtain->back, unit);
    put_length(hang, "thickness", curtain->thickness, unit);
    json_t *window =
        json_pack("{ss,ss,ss,ss,ss,ss,ss,ss,sb,sb,sb,so}", "window", survey->window, "position",
                  position_words[survey->position], "place", place_words[survey->place], "control",
                  control_words[survey->control], "draw", draw_words[survey->draw], "system", survey->system,
                  "finish", survey->finish, "substrate", survey->substrate, "batten", survey->batten,
                  "children", survey->children, "measure_confirmed", 1, "curtain", hang);
    if (survey->straight_count > 0) {
        json_t *bay = json_pack("{s[],s[]}", "straights", "angles");
        for (size_t i = 0; i < survey->straight_count; i++)
            json_array_append_new(json_object_get(bay, "straights"), length_in(survey->straights[i], unit));
        for (size_t i = 0; i + 1 < survey->straight_count; i++)
            json_array_append_new(json_object_get(bay, "angles"), json_real(survey->angles[i]));
        json_object_set_new(window, "bay", bay);
    } else if (survey->place == PLACE_INSIDE) {
        json_t *widths = json_array();
        for (int i = 0; i < 3; i++)
            json_array_append_new(widths, length_in(survey->widths[i], unit));
        json_object_set_new(window, "widths", widths);
    } else {
        put_length(window, "width", survey->width, unit);
    }
    put_length(window, "height", survey->height, unit);
    put_length(window, "ceiling", survey->ceiling, unit);
    put_length(window, "floor", survey->floor, unit);
    put_length(window, "wall_left", survey->wall_left, unit);
    put_length(window, "wall_right", survey->wall_right, unit);
    put_length(window, "carrier_longest", survey->carrier_longest, unit);
    put_length(window, "cord_drop", survey->cord_drop, unit);
    return window;
}

static json_t *run(const struct survey *survey, int unit, const struct catalogue *catalogue,
                   struct fault *fault) {
    json_t *window = survey_document(survey, unit),
           *document = takeoff_run(window, "windows[0]", catalogue, fault);
    json_decref(window);
    if (document != NULL)
        json_object_del(document, "understood");
    return document;
}

Test(takeoff, the_answer_is_the_same_in_every_unit) {
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {6};
    int taken = 0;
    for (int i = 0; i < 1000; i++) {
        struct survey survey;
        struct fault first = {.code = ""}, fault;
        roll_survey(&dice, &survey);
        json_t *wanted = run(&survey, 0, catalogue, &first);
        taken += wanted != NULL;
        for (int unit = 1; unit <= 3; unit++) {
            json_t *got = run(&survey, unit, catalogue, &fault);
            cr_assert_eq(got == NULL, wanted == NULL, "window %d, unit %d: %s", i, unit, fault.message);
            cr_assert(got == NULL || json_equal(got, wanted), "window %d, unit %d differs", i, unit);
            cr_assert(got != NULL || strcmp(fault.code, first.code) == 0, "window %d: %s, %s", i, fault.code,
                      first.code);
            json_decref(got);
        }
        json_decref(wanted);
    }
    cr_assert_gt(taken, 500, "only %d were taken", taken);
    catalogue_free(catalogue);
}

static struct survey plain_survey(void) {
    struct survey survey = {.path = "windows[3]",
                            .window = "W",
                            .width = 18300,
                            .widths = {18300, 18300, 18300},
                            .height = 12000,
                            .ceiling = 4000,
                            .floor = 9000,
                            .wall_left = 10000,
                            .wall_right = 10000,
                            .substrate = "masonry",
                            .system = "WREN",
                            .finish = "WH",
                            .control = CONTROL_CORD_LEFT,
                            .children = true,
                            .carrier_longest = SURVEY_UNKNOWN,
                            .cord_drop = SURVEY_UNKNOWN};
    struct dice dice = {7};
    roll_curtain(&dice, &survey.curtain);
    survey.curtain.drop = 15000;
    survey.curtain.face = 200;
    return survey;
}

static void fault_is(const struct survey *survey, const struct catalogue *catalogue, const char *code,
                     const char *where) {
    struct fault fault = {.code = ""};
    struct takeoff *untouched = NULL;
    cr_assert_not(takeoff_compute(survey, catalogue, &untouched, &fault), "taken, though %s at %s", code,
                  where);
    cr_assert_null(untouched, "touched");
    cr_assert_str_eq(fault.code, code, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_str_eq(fault.where, where, "%s at %s: %s", fault.code, fault.where, fault.message);
}

Test(takeoff, what_the_catalogue_does_not_know_is_named) {
    struct catalogue *catalogue = demo_catalogue();
    struct survey survey = plain_survey();
    text_copy(survey.system, sizeof survey.system, "ROBIN");
    fault_is(&survey, catalogue, "unknown-system", "windows[3].system");
    survey = plain_survey(); /* the catalogue has this finish, the system has not */
    text_copy(survey.finish, sizeof survey.finish, "BZ");
    fault_is(&survey, catalogue, "unknown-finish", "windows[3].finish");
    survey = plain_survey();
    text_copy(survey.substrate, sizeof survey.substrate, "straw");
    fault_is(&survey, catalogue, "unknown-substrate", "windows[3].substrate");
    survey = plain_survey();
    text_copy(survey.curtain.heading, sizeof survey.curtain.heading, "loops");
    fault_is(&survey, catalogue, "unknown-heading", "windows[3].curtain.heading");
    survey = plain_survey();
    survey.control = CONTROL_HAND;
    fault_is(&survey, catalogue, "contradiction", "windows[3].control");
    catalogue_free(catalogue);
}

Test(takeoff, slips_of_the_unit_are_asked_back) {
    struct catalogue *catalogue = demo_catalogue();
    static const ell_length slips[] = {1800, 180000}; /* 180 mm and 18 m wide */
    for (size_t i = 0; i < 2; i++) {
        struct survey survey = plain_survey();
        survey.width = survey.widths[0] = survey.widths[1] = survey.widths[2] = slips[i];
        fault_is(&survey, catalogue, "check-measure", "windows[3].width");
    }
    struct survey survey = plain_survey();
    survey.height = 1200;
    fault_is(&survey, catalogue, "check-measure", "windows[3].height");
    survey = plain_survey();
    survey.ceiling = 40000; /* 4 m above a window */
    fault_is(&survey, catalogue, "check-measure", "windows[3].ceiling");
    survey = plain_survey();
    survey.curtain.drop = 150000;
    fault_is(&survey, catalogue, "check-measure", "windows[3].curtain.drop");
    catalogue_free(catalogue);
}

/* The stack widens the track and the track the stack: cloth that thick would never end. */
Test(takeoff, cloth_too_thick_to_be_drawn_is_no_window) {
    struct catalogue *catalogue = demo_catalogue();
    struct survey survey = plain_survey();
    survey.curtain.thickness = 500;
    survey.curtain.fullness = 5;
    survey.wall_left = survey.wall_right = SURVEY_UNKNOWN;
    fault_is(&survey, catalogue, "contradiction", "windows[3].curtain.thickness");
    survey.place = PLACE_INSIDE;
    fault_is(&survey, catalogue, "contradiction", "windows[3].curtain.thickness");
    catalogue_free(catalogue);
}

Test(takeoff, what_a_drop_needs_is_asked_for) {
    struct catalogue *catalogue = demo_catalogue();
    struct survey survey = plain_survey();
    survey.curtain.reach = REACH_FLOOR;
    survey.floor = SURVEY_UNKNOWN;
    fault_is(&survey, catalogue, "missing-field", "windows[3].floor");
    survey = plain_survey();
    survey.curtain.reach = REACH_SILL;
    survey.position = POSITION_TOP;
    survey.ceiling = SURVEY_UNKNOWN;
    fault_is(&survey, catalogue, "missing-field", "windows[3].ceiling");
    survey = plain_survey();
    survey.curtain.reach = REACH_SILL;
    survey.curtain.clearance = 20000;
    fault_is(&survey, catalogue, "contradiction", "windows[3].curtain.clearance");
    catalogue_free(catalogue);
}

Test(takeoff, who_takes_orders_gets_a_refusal_as_a_fault) {
    struct catalogue *catalogue = demo_catalogue();
    struct fault fault = {.code = ""};
    struct survey survey = plain_survey();
    survey.ceiling = 500;
    json_t *window = survey_document(&survey, 0),
           *document = takeoff_run(window, "windows[3]", catalogue, &fault);
    cr_assert_null(document, "taken");
    cr_assert_str_eq(fault.code, "too-near-ceiling", "%s", fault.code);
    cr_assert_str_eq(fault.where, "windows[3].ceiling", "%s", fault.where);
    json_decref(window);
    catalogue_free(catalogue);
}

static bool advised(const struct takeoff *takeoff, const char *code) {
    for (size_t i = 0; i < takeoff->advice_count; i++)
        if (strcmp(takeoff->advice[i].code, code) == 0)
            return true;
    return false;
}

static void refusal_is(const struct catalogue *catalogue, const char *code) {
    struct survey survey = plain_survey();
    struct fault fault;
    struct takeoff *takeoff;
    cr_assert(takeoff_compute(&survey, catalogue, &takeoff, &fault), "%s", fault.message);
    cr_assert(takeoff->refused && advised(takeoff, code), "%s is missing", code);
    takeoff_free(takeoff);
}

/* Each part of the track in turn is made the weakest. */
Test(takeoff, what_gives_way_is_named) {
    struct catalogue *catalogue = demo_catalogue();
    struct track_system *wren = &catalogue->systems[1], whole = *wren;
    cr_assert_str_eq(wren->code, "WREN", "the order of the systems");
    wren->profile.bracket_most = 1;
    refusal_is(catalogue, "track-overloaded");
    wren->profile = whole.profile;
    wren->profile.stress_most = 0.01;
    refusal_is(catalogue, "track-bends");
    wren->profile = whole.profile;
    wren->profile.stiffness = 1;
    refusal_is(catalogue, "track-sags");
    wren->profile = whole.profile;
    for (size_t i = 0; i < catalogue->part_count; i++)
        if (catalogue->parts[i].role == ROLE_MOUNTING_BRACKET)
            catalogue->parts[i].rating = 1;
    refusal_is(catalogue, "bracket-overloaded");
    catalogue_free(catalogue);
}

Test(takeoff, a_system_of_too_many_parts_is_refused_not_cut_short) {
    struct fault fault;
    json_t *document = demo_document(), *parts = json_object_get(document, "parts");
    json_t *rules = json_object_get(json_array_get(json_object_get(document, "systems"), 1), "rules");
    for (int i = 0; i < TAKEOFF_PARTS; i++) {
        char code[32];
        snprintf(code, sizeof code, "MORE-%d", i);
        json_array_append_new(
            parts, json_pack("{ss,ss,ss,ss}", "code", code, "name", "more", "unit", "each", "role", "other"));
        json_array_append_new(rules, json_pack("{ss,ss,si}", "part", code, "per", "track", "quantity", 1));
    }
    struct catalogue *catalogue = catalogue_read(document, &fault);
    cr_assert_not_null(catalogue, "%s: %s", fault.where, fault.message);
    refusal_is(catalogue, "too-many-parts");
    json_decref(document);
    catalogue_free(catalogue);
}

static int64_t quantity_of(const struct takeoff *takeoff, const char *code) {
    for (size_t i = 0; i < takeoff->part_count; i++)
        if (strcmp(takeoff->catalogue->parts[takeoff->parts[i].part].code, code) == 0)
            return takeoff->parts[i].quantity;
    return 0;
}

/* One rule for each thing that a rule may count, on a track of 2330 mm in two pieces. */
Test(takeoff, rules_count_what_they_say) {
    struct fault fault;
    json_t *document = demo_document(), *parts = json_object_get(document, "parts");
    json_t *rules = json_object_get(json_array_get(json_object_get(document, "systems"), 1), "rules");
    for (int per = 0; per_words[per] != NULL; per++) {
        const char *unit = per == PER_CORD ? "length" : "each";
        json_array_append_new(parts, json_pack("{ss,ss,ss,ss}", "code", per_words[per], "name", "n", "unit",
                                               unit, "role", "other"));
        json_array_append_new(
            rules, json_pack("{ss,ss,si}", "part", per_words[per], "per", per_words[per], "quantity", 3));
    }
    json_array_append_new(
        parts, json_pack("{ss,ss,ss,ss}", "code", "TAPE", "name", "n", "unit", "length", "role", "plug"));
    json_array_append_new(rules, json_pack("{ss,ss,sf}", "part", "TAPE", "per", "metre", "quantity", 1000.0));
    struct catalogue *catalogue = catalogue_read(document, &fault);
    cr_assert_not_null(catalogue, "%s: %s", fault.where, fault.message);
    struct survey survey = plain_survey();
    struct takeoff *takeoff;
    survey.carrier_longest = 15000;
    cr_assert(takeoff_compute(&survey, catalogue, &takeoff, &fault), "%s", fault.message);
    cr_assert_eq(takeoff->overall, 23300, "150 + 1830 + 150 and two pulleys of 100");
    int64_t marks = (int64_t)takeoff->mark_count;
    const int64_t counts[] = {[PER_TRACK] = 1,
                              [PER_PIECE] = 2,
                              [PER_END] = 2,
                              [PER_JOIN] = 1,
                              [PER_MARK] = marks,
                              [PER_BRACKET] = marks - 1,
                              [PER_METRE] = 3,
                              [PER_CURTAIN] = 2,
                              [PER_BEND] = 0,
                              [PER_GLIDER] = 26, /* 2130 / 90, made even, and 2 spare */
                              [PER_CORD] = takeoff->cord_length};
    for (int per = 0; per_words[per] != NULL; per++)
        cr_assert_eq(quantity_of(takeoff, per_words[per]), 3 * counts[per], "%s: %ld", per_words[per],
                     (long)quantity_of(takeoff, per_words[per]));
    cr_assert_eq(quantity_of(takeoff, "TAPE"), 23300, "as long as the track");
    takeoff_free(takeoff);
    catalogue_free(catalogue);
    json_decref(document);
}

Test(takeoff, the_terminal_shows_bends_units_and_refusals) {
    struct catalogue *catalogue = demo_catalogue();
    struct fault fault;
    struct survey survey;
    struct takeoff *takeoff;
    json_t *window = json_loads(
        "{\"window\":\"W\",\"position\":\"face\",\"place\":\"outside\",\"bay\":{\"straights\":["
        "\"35 in\",1500,900],\"angles\":[135,80]},\"height\":1200,\"substrate\":\"concrete\","
        "\"control\":\"hand\",\"draw\":\"pair\",\"system\":\"LARK\",\"finish\":\"WH\","
        "\"carrier_longest\":2000,\"curtain\":{\"drop\":1500,\"heading\":\"pencil\",\"fullness\":2,"
        "\"face\":200}}",
        0, NULL);
    cr_assert(survey_read(window, "", &survey, &fault) &&
                  takeoff_compute(&survey, catalogue, &takeoff, &fault),
              "%s: %s", fault.where, fault.message);
    char *text = takeoff_text(takeoff, 80);
    cr_assert_not_null(strstr(text, "35 in = 889 mm"), "what was understood: %s", text);
    cr_assert_not_null(strstr(text, "~ bend"), "bends: %s", text);
    cr_assert_not_null(strstr(text, "piece 2 of 2"), "pieces: %s", text);
    cr_assert_not_null(strstr(text, "REFUSED: The corner of 80.0 degrees"), "the refusal: %s", text);
    free(text);
    takeoff_free(takeoff);
    json_decref(window);
    catalogue_free(catalogue);
}

Test(takeoff, the_document_agrees_with_the_take_off) {
    struct catalogue *catalogue = demo_catalogue();
    struct survey survey = plain_survey();
    struct fault fault;
    struct takeoff *takeoff;
    survey.carrier_longest = 15000;
    cr_assert(takeoff_compute(&survey, catalogue, &takeoff, &fault), "%s", fault.message);
    json_t *document = takeoff_document(takeoff), *pieces = json_object_get(document, "pieces");
    cr_assert_eq(json_array_size(pieces), takeoff->splits[0].piece_count, "pieces");
    cr_assert_eq(json_array_size(pieces), 2, "2330 in pieces of 1500 at most");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(pieces, 0), "side")), "left", "side");
    cr_assert_eq(json_array_size(json_object_get(document, "brackets")), takeoff->mark_count, "brackets");
    cr_assert_eq(json_array_size(json_object_get(document, "splits")), takeoff->split_count, "splits");
    cr_assert_eq(json_array_size(json_object_get(document, "parts")), takeoff->part_count, "parts");
    cr_assert_eq(json_array_size(json_object_get(document, "advice")), takeoff->advice_count, "advice");
    cr_assert(json_is_true(json_object_get(document, "corded")), "corded");
    cr_assert(json_is_false(json_object_get(document, "refused")), "refused");
    json_decref(document);
    takeoff_free(takeoff);
    catalogue_free(catalogue);
}

Test(takeoff, the_terminal_shows_marks_to_scale) {
    struct catalogue *catalogue = demo_catalogue();
    struct survey survey = plain_survey();
    struct fault fault;
    struct takeoff *takeoff;
    cr_assert(takeoff_compute(&survey, catalogue, &takeoff, &fault), "%s", fault.message);
    for (int columns = 0; columns < 400; columns += 7) {
        char *text = takeoff_text(takeoff, columns);
        cr_assert_not_null(text, "no text");
        const char *picture = strstr(text, "\n\n  ");
        cr_assert_not_null(picture, "no picture in %d columns", columns);
        picture += 4;
        size_t wide = strcspn(picture, "\n"), shown = 0;
        cr_assert_eq(wide,
                     (size_t)(columns < 22    ? 20
                              : columns > 202 ? 200
                                              : columns - 2),
                     "%zu wide in %d columns", wide, columns);
        for (size_t i = 0; i < wide; i++)
            shown += picture[i] == 'o' || picture[i] == '#';
        cr_assert_eq(shown, takeoff->mark_count, "%zu of %zu brackets in %d columns", shown,
                     takeoff->mark_count, columns);
        cr_assert_not_null(strstr(text, "TENSION-S"), "the tension pulley is not shown");
        const char *caution = strstr(text, "CAUTION");
        cr_assert_not_null(caution, "no caution is shown");
        for (const char *at = caution; *at != '\0'; at += strcspn(at, "\n") + 1)
            cr_assert(columns < 40 || strcspn(at, "\n") <= (size_t)columns,
                      "%.60s is too long for %d columns", at, columns);
        for (const char *at = text; columns >= 60 && *at; at += strcspn(at, "\n") + 1)
            cr_assert_leq(strcspn(at, "\n"), (size_t)columns, "a line is too long for %d columns: %.90s",
                          columns, at);
        free(text);
    }
    takeoff_free(takeoff);
    catalogue_free(catalogue);
}
