/* The guided entry as a machine: lines in, questions and a document out. SPDX-License-Identifier: Apache-2.0 */
#include "survey_choices.h"
#include "survey_entry.h"

#include "common/document.h"
#include "takeoff/order_file.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static struct catalogue *catalogue;
static struct survey_entry entry;
static struct fault fault;

static json_t *file(const char *name) {
    char path[512];
    snprintf(path, sizeof path, "%s/%s", ELLWAND_SOURCE_DIR, name);
    json_t *json = document_read_file(path, &document_large, &fault);
    cr_assert_not_null(json, "%s: %s", fault.where, fault.message);
    return json;
}

static void begin(void) {
    json_t *json = file("sql/demo/catalogue.json");
    catalogue = catalogue_read(json, &fault);
    json_decref(json);
    cr_assert_not_null(catalogue);
    survey_entry_begin(&entry, catalogue, NULL);
}

static void finish(void) {
    survey_entry_end(&entry);
    catalogue_free(catalogue);
}

TestSuite(survey_entry, .init = begin, .fini = finish);

static const char *field(void) {
    struct survey_asked asked;
    survey_entry_asked(&entry, &asked);
    cr_assert(asked.number >= 1 && asked.number <= asked.of, "%s is number %zu of %zu", asked.question->field,
              asked.number, asked.of);
    return asked.question->field;
}

/* Types lines up to NULL; each must come out as `outcome` for the last and be taken before it. */
static void type(enum survey_outcome outcome, const char *const lines[]) {
    for (size_t i = 0; lines[i] != NULL; i++) {
        const char *asked = field();
        enum survey_outcome got = survey_entry_line(&entry, lines[i], &fault);
        enum survey_outcome wanted = lines[i + 1] == NULL ? outcome : SURVEY_TAKEN;
        cr_assert_eq(got, wanted, "\"%s\" to %s: outcome %d, %s", lines[i], asked, (int)got, fault.message);
    }
}
#define TYPE(outcome, ...) type(outcome, (const char *const[]){__VA_ARGS__, NULL})

static void order_typed(const char *unit) {
    TYPE(SURVEY_TAKEN, "A7", "Invented: N. Nobody", "2026-12-04", "", unit, "");
    cr_assert_str_eq(field(), "window");
}

/* All of a plain window from its substrate on. */
static void rest_typed(enum survey_outcome outcome) {
    TYPE(outcome, "masonry", "", "hand", "", "", "LARK", "WH", "floor", "pencil", "", "", "280", "140", "",
         "", "", "", "");
}

static json_t *window_at(size_t index) {
    return json_array_get(entry.windows, index);
}

static double number(const json_t *object, const char *name) {
    return json_number_value(json_object_get(object, name));
}

Test(survey_entry, window_is_worked_out_when_it_is_complete) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "Kitchen", "face", "out", "", "1830", "1250", "420", "900", "600", "500");
    cr_assert_str_eq(field(), "substrate");
    cr_assert_null(entry.takeoff);
    rest_typed(SURVEY_WINDOW);
    cr_assert_str_eq(entry.takeoff->survey.window, "W1", "Enter takes the first free name");
    cr_assert_eq(entry.takeoff->survey.width, 1830 * ELL_MM);
    cr_assert_str_eq(field(), "next");
    json_t *document = survey_entry_document(&entry);
    struct order_file *read = order_file_read(document, &fault);
    cr_assert_not_null(read, "%s: %s", fault.where, fault.message);
    cr_assert_eq(read->window_count, 1);
    order_file_free(read);
    json_decref(document);
    TYPE(SURVEY_DONE, "done");
}

Test(survey_entry, bare_lengths_are_in_the_orders_unit_and_others_in_their_own) {
    order_typed("in");
    TYPE(SURVEY_TAKEN, "", "", "face", "outside", "", "72 1/2", "125 cm", "420mm", "35.5\"", "-", "1 m");
    cr_assert_str_eq(json_string_value(json_object_get(entry.answers, "width")), "72 1/2 in");
    cr_assert_str_eq(json_string_value(json_object_get(entry.answers, "height")), "125 cm");
    cr_assert_eq(number(entry.answers, "ceiling"), 420);
    rest_typed(SURVEY_WINDOW);
    /* 72.5 in x 25.4 mm, exactly (international inch) */
    cr_assert_eq(entry.takeoff->survey.width, 18415);
    cr_assert_eq(entry.takeoff->survey.floor, 9017);
    cr_assert_eq(entry.takeoff->survey.wall_left, SURVEY_UNKNOWN);
}

Test(survey_entry, lists_of_lengths) {
    static const struct {
        const char *typed, *shown;
    } cases[] = {
        {"1204 1202 1205", "1204, 1202, 1205 mm"},
        {"1204,1202 ; 1205", "1204, 1202, 1205 mm"},
        {"48 1/2 in 120.4 cm, 1205", "48 1/2 in, 120.4 cm, 1205 mm = 1231.9, 1204, 1205 mm"},
        {"48 1/2in 48 3/8 in 48in", "48 1/2in, 48 3/8 in, 48in = 1231.9, 1228.7, 1219.2 mm"},
    };
    struct survey_draft draft = {json_object(), catalogue, "mm"};
    const struct survey_question *widths =
        &survey_questions[survey_question_find(SURVEY_OF_WINDOW, "widths")];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[SURVEY_SHOWN];
        json_t *value = survey_answer_read(&draft, widths, cases[i].typed, &fault);
        cr_assert_not_null(value, "%s: %s", cases[i].typed, fault.message);
        survey_answer_show(&draft, widths, value, text);
        cr_assert_str_eq(text, cases[i].shown, "%s: %s", cases[i].typed, text);
        json_decref(value);
    }
    json_decref(draft.answers);
}

Test(survey_entry, wrong_answers_are_told_and_asked_again) {
    static const struct {
        const char *field, *wrong, *code, *right;
    } lines[] = {
        {"order", "", "missing-field", "A7"},
        {"customer", "\x80", "bad-text", "Invented"},
        {"due", "tomorrow", "bad-date", "2026-12-04"},
        {"priority", "12", "out-of-range", "5"},
        {"unit", "yard", "unknown-choice", "mm"},
        {"notes", "\x01", "bad-text", "None."},
        {"window", "far too long for the name of a window", "too-large", "W1"},
        {"room", "\xff", "bad-text", ""},
        {"position", "", "missing-field", "1"},
        {"place", "o i", "unknown-choice", "i"},
        {"widths", "1204 1202", "out-of-range", "1204 1202 1205"},
        {"height", "12 feet", "bad-length", "1250"},
        {"floor", "-1", "out-of-range", "900"},
        {"substrate", "t", "unknown-choice", "timber"},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        cr_assert_str_eq(field(), lines[i].field);
        enum survey_outcome got = survey_entry_line(&entry, lines[i].wrong, &fault);
        cr_assert_eq(got, SURVEY_WRONG, "\"%s\" to %s", lines[i].wrong, lines[i].field);
        cr_assert_str_eq(fault.code, lines[i].code, "\"%s\" to %s: %s, %s", lines[i].wrong, lines[i].field,
                         fault.code, fault.message);
        cr_assert_str_eq(field(), lines[i].field, "it is asked again");
        TYPE(SURVEY_TAKEN, lines[i].right);
    }
    cr_assert_str_eq(json_string_value(json_object_get(entry.answers, "substrate")), "timber",
                     "a whole word is not the beginning of another one");
}

Test(survey_entry, only_systems_that_can_are_offered) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "bay", "700 1500 700", "135 135", "1500", "400", "700", "1",
         "cord-l", "", "");
    struct survey_draft draft = survey_entry_draft(&entry);
    const struct survey_question *system =
        &survey_questions[survey_question_find(SURVEY_OF_WINDOW, "system")];
    struct survey_choices choices;
    struct survey_word word;
    cr_assert(survey_choices_begin(&choices, &draft, system));
    size_t offered = 0;
    while (survey_choices_next(&choices, &word)) {
        const struct track_system *row = catalogue_system(catalogue, word.word);
        cr_assert(row->corded, "%s is drawn by hand", word.word);
        cr_assert(row->bends.possible || choices.suits != SURVEY_SUITS_ALL, "%s cannot be bent", word.word);
        offered++;
    }
    cr_assert_gt(offered, 0);
    cr_assert_eq(survey_entry_line(&entry, "LARK", &fault), SURVEY_WRONG);
    cr_assert_str_eq(fault.code, "unknown-choice");
}

Test(survey_entry, change_of_mind_keeps_what_applies_and_writes_nothing_else) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "top", "inside", "1204 1202 1205", "<", "<", "outside", "", "1600", "<", "<",
         "<", "inside", "");
    cr_assert_str_eq(field(), "height", "the widths were still there");
    TYPE(SURVEY_TAKEN, "1300", "850", "masonry", "", "hand", "left", "", "LARK", "WH", "sill", "pencil", "",
         "", "280", "", "", "", "", "");
    TYPE(SURVEY_WINDOW, "");
    cr_assert_null(json_object_get(window_at(0), "width"));
    cr_assert_eq(json_array_size(json_object_get(window_at(0), "widths")), 3);
}

Test(survey_entry, things_in_the_wall_come_and_go) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "", "1830", "1250", "420", "900", "", "", "masonry", "", "hand",
         "", "", "LARK", "WH", "floor", "pencil", "", "", "280", "", "", "", "");
    TYPE(SURVEY_TAKEN, "socket", "-300", "85", "250", "85", "pipe", "1900", "20", "0", "2000", "");
    cr_assert_str_eq(field(), "notes");
    TYPE(SURVEY_TAKEN, "<", "<", "<", "<", "<", "<");
    cr_assert_str_eq(field(), "near.what");
    TYPE(SURVEY_TAKEN, "<", "<", "<", "<", "<", "-");
    cr_assert_str_eq(field(), "near.what", "the second one has moved up");
    TYPE(SURVEY_TAKEN, ">");
    cr_assert_str_eq(field(), "notes");
    TYPE(SURVEY_WINDOW, "");
    cr_assert_eq(entry.takeoff->survey.near_count, 1);
    cr_assert_eq(entry.takeoff->survey.near[0].what, NEAR_PIPE);
    cr_assert_eq(entry.takeoff->survey.near[0].from_left, 1900 * ELL_MM);
}

Test(survey_entry, slip_of_the_unit_is_told_at_once_and_asked_back) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "", "183");
    cr_assert(strstr(entry.doubt, "183 mm is unusual") != NULL, "%s", entry.doubt);
    TYPE(SURVEY_TAKEN, "1250", "420", "900", "", "");
    cr_assert_str_eq(entry.doubt, "", "the others are usual");
    rest_typed(SURVEY_TAKEN);
    cr_assert_str_eq(field(), "measure_confirmed");
    cr_assert(strstr(entry.doubt, "183 mm is unusual") != NULL, "%s", entry.doubt);
    TYPE(SURVEY_TAKEN, "no");
    cr_assert_str_eq(field(), "width");
    TYPE(SURVEY_WINDOW, "1830");
    cr_assert_eq(entry.takeoff->survey.width, 1830 * ELL_MM);
    cr_assert_null(json_object_get(window_at(0), "measure_confirmed"));
    TYPE(SURVEY_TAKEN, "again", "", "", "", "", "", "350", ">");
    TYPE(SURVEY_WINDOW, "yes");
    cr_assert(json_is_true(json_object_get(window_at(0), "measure_confirmed")));
}

Test(survey_entry, what_the_take_off_misses_is_asked_for) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "", "1830", "1250", "420", "-", "", "");
    rest_typed(SURVEY_WRONG);
    cr_assert_str_eq(fault.code, "missing-field");
    cr_assert_str_eq(field(), "floor");
    cr_assert_eq(json_array_size(entry.windows), 0);
    TYPE(SURVEY_WINDOW, "900");
}

Test(survey_entry, refused_window_is_offered_again) {
    struct survey_asked asked;
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "", "1830", "1250", "30", "900", "", "");
    rest_typed(SURVEY_WINDOW);
    cr_assert(entry.takeoff->refused);
    survey_entry_asked(&entry, &asked);
    cr_assert_str_eq(asked.standing, "the last window again, to change it");
    TYPE(SURVEY_TAKEN, "", "", "", "", "", "", "", "", "420");
    TYPE(SURVEY_WINDOW, ">");
    cr_assert_str_eq(field(), "next");
    cr_assert_not(entry.takeoff->refused);
    cr_assert_eq(json_array_size(entry.windows), 1);
}

Test(survey_entry, one_goes_back_to_a_question_by_its_name) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "", "1830", "1250", "30", "<wid", "1930");
    cr_assert_str_eq(field(), "floor", "what is answered is not asked again");
    TYPE(SURVEY_TAKEN, "900", "", "");
    rest_typed(SURVEY_WINDOW);
    cr_assert(entry.takeoff->refused);
    TYPE(SURVEY_TAKEN, "< ceiling");
    TYPE(SURVEY_WINDOW, "420");
    cr_assert_not(entry.takeoff->refused);
    cr_assert_eq(number(window_at(0), "width"), 1930);
    cr_assert_eq(survey_entry_line(&entry, "<chimney", &fault), SURVEY_WRONG);
    cr_assert_str_eq(fault.code, "unknown-field");
    TYPE(SURVEY_TAKEN, "<floor");
    TYPE(SURVEY_WRONG, "much");
    TYPE(SURVEY_WINDOW, "850");
}

Test(survey_entry, orders_own_answers_change_too) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "<cust", "Invented: M. Nobody");
    cr_assert_str_eq(field(), "shape", "back to where it was");
    TYPE(SURVEY_TAKEN, "", "1830", "1250", "420", "900", "", "");
    rest_typed(SURVEY_WINDOW);
    TYPE(SURVEY_TAKEN, "<due");
    TYPE(SURVEY_ORDER, "2026-12-05");
    cr_assert_str_eq(field(), "next");
    TYPE(SURVEY_TAKEN, "order", "A8", "<");
    cr_assert_str_eq(field(), "order");
    TYPE(SURVEY_ORDER, ">");
    json_t *document = survey_entry_document(&entry);
    cr_assert_str_eq(json_string_value(json_object_get(document, "order")), "A8");
    cr_assert_str_eq(json_string_value(json_object_get(document, "customer")), "Invented: M. Nobody");
    cr_assert_str_eq(json_string_value(json_object_get(document, "due")), "2026-12-05");
    json_decref(document);
}

Test(survey_entry, text_may_begin_like_a_step_back) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "<5 steps up");
    cr_assert_str_eq(json_string_value(json_object_get(entry.answers, "room")), "<5 steps up");
}

Test(survey_entry, copy_keeps_wall_system_and_curtain_but_no_measure) {
    order_typed("mm");
    TYPE(SURVEY_TAKEN, "", "Hall", "face", "out", "", "1830", "1250", "420", "900", "600", "500");
    rest_typed(SURVEY_WINDOW);
    TYPE(SURVEY_TAKEN, "copy", "", ">");
    cr_assert_str_eq(field(), "width");
    TYPE(SURVEY_TAKEN, "1500", "1250", "420", "900", "", "");
    cr_assert_str_eq(field(), "near.what");
    TYPE(SURVEY_WINDOW, "", "");
    const json_t *first = window_at(0), *second = window_at(1);
    cr_assert_str_eq(json_string_value(json_object_get(second, "window")), "W2");
    cr_assert_eq(number(second, "width"), 1500);
    cr_assert_null(json_object_get(second, "wall_left"));
    cr_assert(json_equal(json_object_get(first, "curtain"), json_object_get(second, "curtain")));
    TYPE(SURVEY_TAKEN, "new");
    cr_assert_eq(survey_entry_line(&entry, "W2", &fault), SURVEY_WRONG);
    cr_assert_str_eq(fault.code, "twice-named");
}

Test(survey_entry, what_is_begun_goes_on_another_time) {
    order_typed("cm");
    cr_assert(survey_entry_is_begun(&entry));
    TYPE(SURVEY_TAKEN, "", "", "face", "out", "", "183");
    json_t *begun = survey_entry_begun(&entry);
    survey_entry_end(&entry);
    survey_entry_begin(&entry, catalogue, NULL);
    cr_assert_not(survey_entry_is_begun(&entry));
    cr_assert(survey_entry_resume(&entry, begun));
    cr_assert_str_eq(field(), "height");
    TYPE(SURVEY_TAKEN, "125", "42", "90", "", "");
    rest_typed(SURVEY_WINDOW);
    cr_assert_not(survey_entry_is_begun(&entry));
    cr_assert_eq(entry.takeoff->survey.width, 1830 * ELL_MM);
    json_object_set_new(begun, "window", json_integer(7));
    cr_assert_not(survey_entry_resume(&entry, begun), "there is no seventh window");
    json_object_set_new(begun, "window", json_string("W1"));
    cr_assert_not(survey_entry_resume(&entry, begun));
    json_decref(begun);
}

/* Whatever a document has is there again after going through it. */
Test(survey_entry, document_with_every_field_comes_through) {
    json_t *order = file("tests/fuzz/corpus/survey_entry/every-field.json");
    struct order_file *read = order_file_read(order, &fault);
    cr_assert_not_null(read, "%s: %s", fault.where, fault.message);
    order_file_free(read);
    survey_entry_end(&entry);
    survey_entry_begin(&entry, catalogue, order);
    for (size_t i = 0; i < json_array_size(json_object_get(order, "windows")); i++) {
        json_t *window = json_array_get(json_object_get(order, "windows"), i);
        cr_assert(survey_entry_change(&entry, json_string_value(json_object_get(window, "window"))));
        enum survey_outcome outcome = survey_entry_line(&entry, ">", &fault);
        cr_assert_eq(outcome, SURVEY_WINDOW, "%zu: %s: %s %s", i, field(), fault.message, entry.doubt);
    }
    json_t *document = survey_entry_document(&entry);
    char *text = json_dumps(document, JSON_SORT_KEYS), *wanted = json_dumps(order, JSON_SORT_KEYS);
    cr_assert_str_eq(text, wanted);
    free(wanted);
    free(text);
    json_decref(document);
    json_decref(order);
}
