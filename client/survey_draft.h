/* Answers before they are a document: by the question's field, and those that no longer apply are kept, so that a change
 * of mind loses nothing. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_DRAFT_H
#define ELLWAND_CLIENT_SURVEY_DRAFT_H

#include "takeoff/catalogue.h"

#include <jansson.h>
#include <stdbool.h>

struct survey_question;

struct survey_draft {
    json_t *
        answers; /* field: value as in the document, or null: asked, and left empty. "near": as in the document */
    const struct catalogue *catalogue; /* borrowed */
    const char *unit;                  /* of bare numbers: "mm", "cm" or "in"; borrowed */
};

/* The answer, borrowed; NULL while there is none, JSON null when it was left empty. `item`: which thing in the wall, 0 for
 * other questions. */
json_t *survey_draft_get(const struct survey_draft *draft, const struct survey_question *question,
                         size_t item);
/* Takes over `value`. A thing in the wall that is given its first answer is added to the list. */
void survey_draft_set(const struct survey_draft *draft, const struct survey_question *question, size_t item,
                      json_t *value);
/* True when something was answered. */
bool survey_draft_has(const struct survey_draft *draft, const char *field);
/* The text of a choice by its field: what was answered, else what Enter or the example would give. */
const char *survey_draft_word(const struct survey_draft *draft, const char *field);
size_t survey_draft_near(const struct survey_draft *draft);

/* The answers to an order document without its windows, or to one window: only what applies. With `filled`, required
 * fields without an answer come from the examples, so that the document's reader can judge those that are there. The
 * caller owns it. */
json_t *survey_draft_order(const struct survey_draft *draft, bool filled);
json_t *survey_draft_window(const struct survey_draft *draft, bool filled);

/* The other way: answers from a document that its reader has taken. The caller owns them. With `copy` only what goes
 * along to the next window. */
json_t *survey_answers_of_order(const json_t *order);
json_t *survey_answers_of_window(const json_t *window, bool copy);

#endif
