/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_draft.h"

#include "survey_answer.h"
#include "survey_choices.h"
#include "survey_questions.h"

#include <string.h>

static const char *inner_name(const struct survey_question *question) {
    const char *dot = strchr(question->field, '.');
    return dot != NULL ? dot + 1 : question->field;
}

size_t survey_draft_near(const struct survey_draft *draft) {
    return json_array_size(json_object_get(draft->answers, "near"));
}

json_t *survey_draft_get(const struct survey_draft *draft, const struct survey_question *question,
                         size_t item) {
    if (question->group != SURVEY_OF_NEAR)
        return json_object_get(draft->answers, question->field);
    json_t *thing = json_array_get(json_object_get(draft->answers, "near"), item);
    return json_object_get(thing, inner_name(question));
}

void survey_draft_set(const struct survey_draft *draft, const struct survey_question *question, size_t item,
                      json_t *value) {
    if (question->group != SURVEY_OF_NEAR) {
        json_object_set_new(draft->answers, question->field, value);
        return;
    }
    json_t *things = json_object_get(draft->answers, "near");
    if (things == NULL) {
        things = json_array();
        json_object_set_new(draft->answers, "near", things);
    }
    if (json_is_null(value)) {
        json_array_remove(things, item);
        return;
    }
    if (item >= json_array_size(things))
        json_array_append_new(things, json_object());
    json_object_set_new(json_array_get(things, item), inner_name(question), value);
}

bool survey_draft_has(const struct survey_draft *draft, const char *field) {
    const json_t *value = json_object_get(draft->answers, field);
    return value != NULL && !json_is_null(value);
}

const char *survey_draft_word(const struct survey_draft *draft, const char *field) {
    const char *text = json_string_value(json_object_get(draft->answers, field));
    size_t at = survey_question_find(SURVEY_OF_WINDOW, field);
    if (text != NULL || at == survey_question_count)
        return text != NULL ? text : "";
    const struct survey_question *question = &survey_questions[at];
    return question->otherwise != NULL ? question->otherwise : question->example;
}

/* Puts `value` where the field belongs, below "curtain" or "bay" where it has a dot. */
static void place(json_t *document, const struct survey_question *question, json_t *value) {
    const char *dot = strchr(question->field, '.');
    if (dot == NULL) {
        json_object_set_new(document, question->field, value);
        return;
    }
    size_t length = (size_t)(dot - question->field);
    json_t *inner = json_object_getn(document, question->field, length);
    if (inner == NULL) {
        inner = json_object();
        json_object_setn_new(document, question->field, length, inner);
    }
    json_object_set_new(inner, dot + 1, value);
}

/* A good answer, so that a reader can judge the others; of the catalogue the first that suits. */
static json_t *example(const struct survey_draft *draft, const struct survey_question *question) {
    struct fault fault;
    struct survey_choices choices;
    struct survey_word first;
    struct survey_draft plain = {draft->answers, draft->catalogue, "mm"};
    bool code = question->kind > SURVEY_WORD && survey_choices_begin(&choices, draft, question) &&
                survey_choices_next(&choices, &first);
    return survey_answer_plain(&plain, question, code ? first.word : question->example, &fault);
}

/* In the reader's words a drop that was measured is no reach. */
static bool is_measured_drop(const struct survey_question *question, const json_t *value) {
    return strcmp(question->field, "curtain.reach") == 0 &&
           strcmp(json_string_value(value) != NULL ? json_string_value(value) : "", "drop") == 0;
}

/* Required answers that are not there yet are made up in `draft`, one by one, so that a system suits its wall and a finish
 * its system. */
static void fill(const struct survey_draft *draft, enum survey_group group) {
    for (size_t i = 0; i < survey_question_count; i++) {
        const struct survey_question *question = &survey_questions[i];
        if (question->group == group && !question->own && !question->optional &&
            !survey_draft_has(draft, question->field) &&
            (question->applies == NULL || question->applies(draft)))
            survey_draft_set(draft, question, 0, example(draft, question));
    }
}

static json_t *compose(const struct survey_draft *draft, enum survey_group group) {
    json_t *document = json_object();
    for (size_t i = 0; i < survey_question_count; i++) {
        const struct survey_question *question = &survey_questions[i];
        if (question->group != group || question->own || !survey_draft_has(draft, question->field) ||
            (question->applies != NULL && !question->applies(draft)))
            continue;
        json_t *value = survey_draft_get(draft, question, 0);
        if (!is_measured_drop(question, value))
            place(document, question, json_incref(value));
    }
    return document;
}

static struct survey_draft filled_draft(const struct survey_draft *draft, enum survey_group group) {
    struct survey_draft filled = *draft;
    filled.answers = draft->answers != NULL ? json_deep_copy(draft->answers) : json_object();
    fill(&filled, group);
    return filled;
}

json_t *survey_draft_order(const struct survey_draft *draft, bool filled) {
    if (!filled)
        return compose(draft, SURVEY_OF_ORDER);
    struct survey_draft whole = filled_draft(draft, SURVEY_OF_ORDER);
    json_t *order = compose(&whole, SURVEY_OF_ORDER);
    json_decref(whole.answers);
    return order;
}

/* The last thing may be told by half while it is asked for. */
static void fill_near(const struct survey_draft *draft) {
    for (size_t item = 0; item < survey_draft_near(draft); item++)
        for (size_t i = 0; i < survey_question_count; i++)
            if (survey_questions[i].group == SURVEY_OF_NEAR &&
                survey_draft_get(draft, &survey_questions[i], item) == NULL)
                survey_draft_set(draft, &survey_questions[i], item, example(draft, &survey_questions[i]));
}

static json_t *compose_window(const struct survey_draft *draft) {
    json_t *window = compose(draft, SURVEY_OF_WINDOW);
    json_t *near = json_deep_copy(json_object_get(draft->answers, "near"));
    if (json_array_size(near) > 0)
        json_object_set(window, "near", near);
    json_decref(near);
    return window;
}

json_t *survey_draft_window(const struct survey_draft *draft, bool filled) {
    if (!filled)
        return compose_window(draft);
    struct survey_draft whole = filled_draft(draft, SURVEY_OF_WINDOW);
    fill_near(&whole);
    json_t *window = compose_window(&whole);
    json_decref(whole.answers);
    return window;
}

/* NULL also for a null, which readers take for absent. */
static json_t *taken_from(const json_t *document, const char *field) {
    const char *dot = strchr(field, '.');
    const json_t *object = dot == NULL ? document : json_object_getn(document, field, (size_t)(dot - field));
    json_t *value = json_object_get(object, dot == NULL ? field : dot + 1);
    return json_is_null(value) ? NULL : value;
}

/* An own question's answer follows from what the document has. */
static const char *own_answer(const json_t *window, const char *field) {
    if (strcmp(field, "shape") == 0)
        return taken_from(window, "bay") != NULL ? "bay" : "straight";
    for (size_t i = survey_question_find(SURVEY_OF_WINDOW, "details") + 1; i < survey_question_count; i++)
        if (strncmp(survey_questions[i].field, "curtain.", 8) == 0 &&
            taken_from(window, survey_questions[i].field) != NULL)
            return "yes";
    return "no";
}

static json_t *decompose(const json_t *document, enum survey_group group, bool copy) {
    json_t *answers = json_object();
    for (size_t i = 0; i < survey_question_count; i++) {
        const struct survey_question *question = &survey_questions[i];
        if (question->group != group || (copy && !question->copied))
            continue;
        json_t *value = taken_from(document, question->field);
        if (question->own)
            json_object_set_new(answers, question->field, json_string(own_answer(document, question->field)));
        else if (value != NULL)
            json_object_set(answers, question->field, value);
        else if (strcmp(question->field, "curtain.reach") == 0)
            json_object_set_new(answers, question->field, json_string("drop"));
        else
            json_object_set_new(answers, question->field, json_null());
    }
    return answers;
}

json_t *survey_answers_of_order(const json_t *order) {
    return decompose(order, SURVEY_OF_ORDER, false);
}

json_t *survey_answers_of_window(const json_t *window, bool copy) {
    json_t *answers = decompose(window, SURVEY_OF_WINDOW, copy);
    if (copy)
        return answers;
    json_t *near = json_deep_copy(json_object_get(window, "near"));
    json_object_set_new(answers, "near", json_is_array(near) ? near : json_array());
    return answers;
}
