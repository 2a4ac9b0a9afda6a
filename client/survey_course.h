/* The course of the questions: which comes after which, given the answers so far. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_COURSE_H
#define ELLWAND_CLIENT_SURVEY_COURSE_H

#include "survey_questions.h"

#include "common/fault.h"

/* A question, and which of the things in the wall it is about (0 for other questions). */
struct survey_place {
    size_t question, item;
};

/* The first question of an order, of a window, or the one after a window. */
struct survey_place survey_course_first(enum survey_group group);
/* To the next one, or the one before, that applies. False, *place untouched, where the order's, or the window's, questions
 * end; the one before SURVEY_OF_NEXT is the window's last. */
bool survey_course_next(const struct survey_draft *draft, struct survey_place *place);
bool survey_course_back(const struct survey_draft *draft, struct survey_place *place);

/* It has an answer, or was left empty where that is allowed. */
bool survey_course_answered(const struct survey_draft *draft, struct survey_place place);

/* The place of what a reader found wrong in window number `window` ("windows[3].near[1].width") or in the order. False
 * when no question asks for it as things stand. */
bool survey_course_find(const struct survey_draft *draft, const struct fault *fault, size_t window,
                        struct survey_place *place);

#endif
