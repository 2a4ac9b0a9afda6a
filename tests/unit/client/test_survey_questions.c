/* The table of questions against the readers of orders. SPDX-License-Identifier: Apache-2.0 */
#include "survey_answer.h"
#include "survey_questions.h"

#include "takeoff/order_file.h"

#include <criterion/criterion.h>
#include <string.h>

static const struct survey_question *question(enum survey_group group, const char *field) {
    size_t at = survey_question_find(group, field);
    cr_assert_lt(at, survey_question_count, "no question asks for %s", field);
    return &survey_questions[at];
}

Test(survey_questions, words_are_those_of_the_document) {
    static const struct {
        const char *field;
        const char *const *words;
    } lists[] = {{"position", position_words},
                 {"place", place_words},
                 {"control", control_words},
                 {"draw", draw_words},
                 {"near.what", near_words}};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        const struct survey_word *words = question(SURVEY_OF_WINDOW, lists[i].field)->words;
        size_t count = 0;
        for (; lists[i].words[count] != NULL; count++)
            cr_assert(words[count].word != NULL && strcmp(words[count].word, lists[i].words[count]) == 0,
                      "%s lacks %s", lists[i].field, lists[i].words[count]);
        cr_assert_null(words[count].word, "%s has a word too many", lists[i].field);
    }
}

static const char *column_of(const struct survey_question *asked) {
    bool notes = asked->group == SURVEY_OF_WINDOW && strcmp(asked->field, "notes") == 0;
    return asked->own || asked->group == SURVEY_OF_NEAR ? "" : notes ? "window.notes" : asked->field;
}

Test(survey_questions, columns_of_csv_and_questions_are_the_same) {
    const char *column;
    size_t columns = 0, asked = 0;
    for (; (column = order_csv_column(columns)) != NULL; columns++) {
        size_t found = 0;
        for (size_t i = 0; i < survey_question_count; i++)
            found += strcmp(column_of(&survey_questions[i]), column) == 0;
        cr_assert_eq(found, 1, "column %s is asked for %zu times", column, found);
    }
    for (size_t i = 0; i < survey_question_count; i++)
        asked += column_of(&survey_questions[i])[0] != '\0';
    cr_assert_eq(asked, columns);
}

Test(survey_questions, each_is_explained_and_fits_the_screen) {
    for (size_t i = 0; i < survey_question_count; i++) {
        const struct survey_question *asked = &survey_questions[i];
        cr_assert(strlen(asked->ask) <= 60, "%s: the question is too long", asked->field);
        cr_assert(strlen(asked->label) <= 15, "%s: the label is too long", asked->field);
        cr_assert(strlen(asked->why) > 15 && strlen(asked->why) <= 300, "%s: explanation", asked->field);
        cr_assert_eq(asked->why[strlen(asked->why) - 1], '.', "%s: its explanation has no end", asked->field);
        cr_assert(asked->own || asked->needed[0] != '\0', "%s: when is it needed", asked->field);
        cr_assert((asked->kind != SURVEY_WORD && asked->kind != SURVEY_YES_NO) || asked->words != NULL);
    }
}

/* Every example, and every usual answer, is one that the document's reader takes. */
Test(survey_questions, examples_make_an_order) {
    static const struct catalogue none;
    struct fault fault;
    static const char *const shapes[][2] = {
        {"outside", "straight"}, {"outside", "bay"}, {"inside", "straight"}};
    for (size_t i = 0; i < sizeof shapes / sizeof shapes[0]; i++) {
        struct survey_draft draft = {json_object(), &none, "mm"};
        struct survey_draft order = {json_object(), &none, "mm"};
        json_object_set_new(draft.answers, "place", json_string(shapes[i][0]));
        json_object_set_new(draft.answers, "shape", json_string(shapes[i][1]));
        json_object_set_new(draft.answers, "details", json_string("yes"));
        for (size_t j = 0; j < survey_question_count; j++) {
            const struct survey_question *asked = &survey_questions[j];
            bool of_order = asked->group == SURVEY_OF_ORDER;
            if (asked->own || asked->group == SURVEY_OF_NEXT || strcmp(asked->field, "place") == 0)
                continue;
            json_t *value = survey_answer_plain(&draft, asked, asked->example, &fault);
            cr_assert_not_null(value, "%s: %s", asked->field, fault.message);
            survey_draft_set(of_order ? &order : &draft, asked, 0, value);
        }
        json_t *document = survey_draft_order(&order, false);
        json_object_set_new(document, "windows", json_pack("[o]", survey_draft_window(&draft, false)));
        struct order_file *read = order_file_read(document, &fault);
        cr_assert_not_null(read, "%s: %s", fault.where, fault.message);
        cr_assert_eq(read->windows[0].near_count, 1);
        order_file_free(read);
        json_decref(document);
        json_decref(draft.answers);
        json_decref(order.answers);
    }
}
