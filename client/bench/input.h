/* What one line at the bench means. Pure. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_INPUT_H
#define ELLWAND_CLIENT_BENCH_INPUT_H

#include "bench/line.h"
#include "label/code.h"

#include <ellwand/length.h>

enum bench_word {
    WORD_NONE,
    WORD_DONE,
    WORD_UNDO,
    WORD_SHORT,
    WORD_STOP,
    WORD_HELP,
    WORD_MORE,
    WORD_SPOILED,
    WORD_LOST,
    WORD_DAMAGED,
    WORD_WRITE_OFF, /* with a reason after it; typed only */
    WORD_PLACE,     /* with a place of the rack after it; typed only */
    WORD_END        /* typed only: a code scanned by mistake must not end the session */
};

enum input_kind {
    INPUT_NOTHING, /* an empty line */
    INPUT_WORD,
    INPUT_KEY,    /* a figure, or the point, off the sheet of codes: `key` */
    INPUT_CODE,   /* of a thing: `code`, and its spelling in `text` */
    INPUT_NUMBER, /* typed: `text`, as `number` and, when it can be one, as `length` */
    INPUT_TEXT    /* anything else: a name, or a code that was misread (`why`) */
};

struct input {
    enum input_kind kind;
    enum bench_word word;
    char key;
    struct code code;
    char text[LINE_MOST + 1];
    char rest[LINE_MOST + 1]; /* what follows a word that takes more */
    char why[256];            /* of INPUT_TEXT: why it is no code */
};

void input_read(const char *line, struct input *input);

/* Whether `text` is a whole number that counts things, at most NUMBER_MOST; or a length, in `unit` ("mm", "cm", "in") when it
 * names none. A longer number is another barcode than ours. *number and *length are untouched otherwise. */
enum { NUMBER_MOST = 9999999 };
bool input_count(const char *text, long long *number);
bool input_length(const char *text, const char *unit, ell_length *length);

/* The control codes of the printed sheet, in its order: "X1J", ... What each is called and does; NULL after the last. `code`
 * is its scan code. */
struct control {
    const char *name, *what;
};
const struct control *control_at(size_t index, char code[CODE_TEXT]);

#endif
