/* What may be chosen as the answer to a question: words of the document, or rows of the catalogue that suit what was
 * answered before. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_CHOICES_H
#define ELLWAND_CLIENT_SURVEY_CHOICES_H

#include "survey_questions.h"

#include "common/fault.h"

/* How much of what was answered a system must suit; less is asked of it when none suits all. */
enum survey_suits { SURVEY_SUITS_ALL, SURVEY_SUITS_CONTROL, SURVEY_SUITS_ANY };

struct survey_choices {
    const struct survey_draft *draft;
    const struct survey_question *question;
    enum survey_suits suits; /* of systems */
    size_t row;
};

/* False when the question has no choices: any answer of its kind will do. */
bool survey_choices_begin(struct survey_choices *choices, const struct survey_draft *draft,
                          const struct survey_question *question);
/* The next one, its texts borrowed from the table or the catalogue; false after the last. */
bool survey_choices_next(struct survey_choices *choices, struct survey_word *choice);

/* The one that was meant by its word, its number from 1, or the beginning of its word or name, in upper or lower case.
 * "unknown-choice" when it is none or may be several; it says which. */
bool survey_choices_find(const struct survey_draft *draft, const struct survey_question *question,
                         const char *text, struct survey_word *choice, struct fault *fault) MUST_CHECK;
/* Whether the word is one of them. */
bool survey_choices_has(const struct survey_draft *draft, const struct survey_question *question,
                        const char *word, struct survey_word *choice);

#endif
