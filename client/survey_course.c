/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_course.h"

#include "takeoff/survey.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static enum survey_group group_of(size_t question) {
    return survey_questions[question].group;
}

/* Things in the wall belong to the window's course, and so does what comes after it when one goes back. */
static bool within(size_t question, enum survey_group group) {
    return question < survey_question_count &&
           (group == SURVEY_OF_ORDER) == (group_of(question) == SURVEY_OF_ORDER);
}

static bool applies(const struct survey_draft *draft, struct survey_place place) {
    const struct survey_question *question = &survey_questions[place.question];
    size_t things = survey_draft_near(draft);
    if (question->group == SURVEY_OF_NEAR)
        return place.item < things || (place.item == things && things < SURVEY_NEAR &&
                                       group_of(place.question - 1) != SURVEY_OF_NEAR);
    return question->group != SURVEY_OF_NEXT && (question->applies == NULL || question->applies(draft));
}

static size_t first_near(void) {
    return survey_question_find(SURVEY_OF_NEAR, "near.what");
}

static size_t last_near(void) {
    size_t last = first_near();
    while (group_of(last + 1) == SURVEY_OF_NEAR)
        last++;
    return last;
}

struct survey_place survey_course_first(enum survey_group group) {
    struct survey_place place = {0, 0};
    while (group_of(place.question) != group)
        place.question++;
    return place;
}

bool survey_course_next(const struct survey_draft *draft, struct survey_place *place) {
    enum survey_group group = group_of(place->question);
    struct survey_place next = {place->question + 1, place->item};
    if (place->question == last_near())
        next = (struct survey_place){first_near(), place->item + 1};
    while (within(next.question, group)) {
        if (applies(draft, next)) {
            *place = next;
            return true;
        }
        /* no such thing any more: on to what comes after them */
        next.question = group_of(next.question) == SURVEY_OF_NEAR ? last_near() + 1 : next.question + 1;
        next.item = 0;
    }
    return false;
}

bool survey_course_back(const struct survey_draft *draft, struct survey_place *place) {
    enum survey_group group = group_of(place->question);
    struct survey_place back = *place;
    if (group == SURVEY_OF_NEAR && (back.question > first_near() || back.item > 0)) {
        bool first = back.question == first_near();
        back.question = first ? last_near() : back.question - 1;
        back.item -= first;
        *place = back;
        return true;
    }
    for (back.item = 0; back.question > 0 && within(back.question - 1, group);) {
        back.question--;
        if (group_of(back.question) == SURVEY_OF_NEAR) {
            size_t things = survey_draft_near(draft);
            bool full = things == SURVEY_NEAR;
            *place = (struct survey_place){full ? last_near() : first_near(), things - full};
            return true;
        }
        if (applies(draft, back)) {
            *place = back;
            return true;
        }
    }
    return false;
}

bool survey_course_answered(const struct survey_draft *draft, struct survey_place place) {
    const struct survey_question *question = &survey_questions[place.question];
    if (question->group == SURVEY_OF_NEAR && place.item == survey_draft_near(draft))
        return json_object_get(draft->answers, "near") != NULL;
    const json_t *value = survey_draft_get(draft, question, place.item);
    return value != NULL && (question->optional || !json_is_null(value));
}

/* "near[1].width" to "near.width" and 1. */
static void without_index(const char *where, char *field, size_t size, size_t *item) {
    size_t used = 0;
    *item = 0;
    while (*where != '\0' && used + 1 < size) {
        if (*where == '[') {
            *item = strtoul(where + 1, NULL, 10);
            where += strcspn(where, "]");
            where += *where == ']';
        } else {
            field[used++] = *where++;
        }
    }
    field[used] = '\0';
}

bool survey_course_find(const struct survey_draft *draft, const struct fault *fault, size_t window,
                        struct survey_place *place) {
    char prefix[40], field[sizeof fault->where];
    const char *where = fault->where;
    struct survey_place found = {0, 0};
    snprintf(prefix, sizeof prefix, "windows[%zu]", window);
    bool inside = strncmp(where, "windows[", 8) == 0,
         twice = inside && strcmp(fault->code, "twice-named") == 0;
    if (inside && !twice && strncmp(where, prefix, strlen(prefix)) != 0)
        return false;
    where += inside && !twice ? strlen(prefix) : 0;
    without_index(where + (*where == '.'), field, sizeof field, &found.item);
    found.question =
        survey_question_find(inside ? SURVEY_OF_WINDOW : SURVEY_OF_ORDER, twice ? "window" : field);
    if (found.question == survey_question_count)
        return false;
    if (group_of(found.question) != SURVEY_OF_NEAR)
        found.item = 0;
    if (!applies(draft, found))
        return false;
    *place = found;
    return true;
}
