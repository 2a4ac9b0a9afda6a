/* The questions of a survey in the order in which a person measures: one table for the guided entry, for its help and for
 * the list of fields. A question asks for one field of an order document (takeoff/order_file.h, takeoff/survey.h).
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_QUESTIONS_H
#define ELLWAND_CLIENT_SURVEY_QUESTIONS_H

#include "survey_draft.h"

#include <stdbool.h>
#include <stddef.h>

enum survey_group {
    SURVEY_OF_ORDER,
    SURVEY_OF_WINDOW,
    SURVEY_OF_NEAR, /* once for each thing in the wall */
    SURVEY_OF_NEXT  /* what to do after a window; no field of the document */
};
enum survey_kind {
    SURVEY_TEXT,
    SURVEY_DATE,
    SURVEY_LENGTH,
    SURVEY_LENGTHS, /* several, with blanks or commas between */
    SURVEY_NUMBER,
    SURVEY_NUMBERS,
    SURVEY_YES_NO,
    SURVEY_WORD, /* one of `words` */
    SURVEY_SUBSTRATE,
    SURVEY_SYSTEM,
    SURVEY_FINISH,
    SURVEY_HEADING /* codes of the catalogue */
};
/* A word that the document knows, and what it means. */
struct survey_word {
    const char *word, *name;
};

struct survey_question {
    const char *field; /* "curtain.drop"; of a thing in the wall "near.what" */
    enum survey_group group;
    enum survey_kind kind;
    const char *label;               /* short, for the list of answers; letters as on a measuring sheet */
    const char *ask;                 /* the question */
    const char *why;                 /* what to measure, from where to where, and why */
    const struct survey_word *words; /* of SURVEY_WORD, closed by {0} */
    const char *otherwise;           /* taken by Enter, as it would be typed; NULL: none */
    const char *example;             /* a good answer, as typed */
    const char *needed;              /* when the document must or may have it */
    bool optional;                   /* may be left empty */
    bool own;                        /* no field of the document: it decides which of the others are asked */
    bool copied;                     /* goes along when the next window begins as a copy */
    bool (*applies)(const struct survey_draft *draft); /* NULL: always */
};

extern const struct survey_question survey_questions[];
extern const size_t survey_question_count;

/* The question of that group (of a window or of things in its wall: either serves for both) and field; survey_question_count
 * when there is none. */
size_t survey_question_find(enum survey_group group, const char *field);

#endif
