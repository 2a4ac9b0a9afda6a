/* What a person types, to a value of the document, and back. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_ANSWER_H
#define ELLWAND_CLIENT_SURVEY_ANSWER_H

#include "survey_questions.h"

#include "common/fault.h"

enum { SURVEY_LINE = 1000, SURVEY_SHOWN = 256, SURVEY_ITEMS = 32 };

/* The value that `text` stands for; bounds are the document reader's business. Bare lengths are in the draft's unit;
 * lengths in cm or inches stay texts ("183 cm"), as the document keeps them. The caller owns it. NULL and a fault at the
 * question's field: "bad-length", "bad-number", "bad-text", "unknown-choice". */
json_t *survey_answer_read(const struct survey_draft *draft, const struct survey_question *question,
                           const char *text, struct fault *fault) MUST_CHECK;
/* The same, but words and codes are taken as they are, whatever the catalogue has. */
json_t *survey_answer_plain(const struct survey_draft *draft, const struct survey_question *question,
                            const char *text, struct fault *fault) MUST_CHECK;

/* The value as people read it: "183 cm = 1830 mm", "on the face of the wall", "WREN, Wren corded track"; "" for
 * none. */
void survey_answer_show(const struct survey_draft *draft, const struct survey_question *question,
                        const json_t *value, char text[SURVEY_SHOWN]);

#endif
