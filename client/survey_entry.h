/* The guided entry of an order, question by question: a state machine without terminal, file or clock.
 *
 * Lines that are no answers: "?" explains the question, "<" goes one back, "<word" to the question whose label or
 * field begins so and from then on asks only what has no answer yet, ">" takes what stands there and does the same
 * from there, "." stops, "-" leaves a question empty; an empty line takes what stands there, or skips.
 * Each answer is judged at once by the reader of order files; each window by the take-off.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_ENTRY_H
#define ELLWAND_CLIENT_SURVEY_ENTRY_H

#include "survey_answer.h"
#include "survey_course.h"

#include "takeoff/takeoff.h"

struct survey_entry {
    const struct catalogue *catalogue; /* borrowed */
    json_t *order;                     /* answers of the order's questions */
    json_t *answers;                   /* answers of the window in hand */
    json_t *windows;                   /* finished windows, as the document has them */
    size_t window;                     /* place of the one in hand among them, their count for a new one */
    struct survey_place at;
    bool mends;                  /* only what has no answer yet is asked */
    struct survey_place doubted; /* of the measure that is asked back; question survey_question_count: none */
    struct survey_place returns; /* where to go on after the order's questions; survey_question_count: none */
    struct takeoff *takeoff;     /* of the window finished last; NULL before */
    char doubt[600];             /* why the measure answered last, or asked back, is unusual; "" else */
};

/* What became of a line. */
enum survey_outcome {
    SURVEY_TAKEN,
    SURVEY_WRONG,   /* the fault says why; the question that it names is asked (again) */
    SURVEY_EXPLAIN, /* the question is to be explained, and stands */
    SURVEY_WINDOW,  /* taken, and with it a window is finished: time to keep the document */
    SURVEY_ORDER,   /* taken, and the answers of an order that has windows are gone through: likewise */
    SURVEY_STOP,    /* the person stops here */
    SURVEY_DONE     /* the person has no more windows */
};

struct survey_asked {
    const struct survey_question *question;
    size_t item;                 /* which thing in the wall, from 0 */
    size_t number, of;           /* this question among those that the order, or the window, is asked */
    char standing[SURVEY_SHOWN]; /* what an empty line takes; "" when it skips, or is no answer */
    bool optional;
};

/* Begins a new order (`document` NULL), or goes on with one that order_file_read has taken: then the question is what to do
 * next. The entry borrows the catalogue; give it back with survey_entry_end. */
void survey_entry_begin(struct survey_entry *entry, const struct catalogue *catalogue,
                        const json_t *document);
void survey_entry_end(struct survey_entry *entry);
/* Takes the window of that name in hand. False when there is none. */
bool survey_entry_change(struct survey_entry *entry, const char *window) MUST_CHECK;

void survey_entry_asked(const struct survey_entry *entry, struct survey_asked *asked);
/* The answers that the question is asked among; good until the next line. */
struct survey_draft survey_entry_draft(const struct survey_entry *entry);
/* One line without its end. A wrong answer is not taken. */
enum survey_outcome survey_entry_line(struct survey_entry *entry, const char *line, struct fault *fault);

/* The order as a document: its finished windows, of which there may be none. The caller owns it. */
json_t *survey_entry_document(const struct survey_entry *entry);
/* Whether a window, or the order itself, has been begun and is not in the document yet. */
bool survey_entry_is_begun(const struct survey_entry *entry);
/* What is in hand, to go on with it another time beside the same document; the caller owns it. survey_entry_resume is
 * false when it is no such thing. */
json_t *survey_entry_begun(const struct survey_entry *entry);
bool survey_entry_resume(struct survey_entry *entry, const json_t *begun) MUST_CHECK;

#endif
