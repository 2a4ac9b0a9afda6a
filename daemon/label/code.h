/* Scan codes: what a scanner reads off a label. A letter for the kind, a decimal id, and one check character
 * by ISO/IEC 7064, MOD 37-2, which finds every single wrong character and every swap of two neighbours.
 *
 *     P1048Q      piece 1048
 *     P1048AX     the same on its first reprint
 *
 * A label that is printed again has the number of the reprint, its issue, in letters after the id (A, B, .. Z, AA, ..): so a
 * lost one that turns up is known to be void. A first print, issue 0, has none.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_CODE_H
#define ELLWAND_LABEL_CODE_H

#include "common/fault.h"

#include <stddef.h>
#include <stdint.h>

enum code_kind {
    CODE_PIECE,
    CODE_KIT,
    CODE_OFFCUT,
    CODE_BAR,
    CODE_PLACE,
    CODE_ORDER,
    CODE_WINDOW,
    CODE_PART,
    CODE_PARCEL,
    CODE_CONTROL, /* of a scanner session: what to do, never a thing */
    CODE_KINDS
};

struct code {
    enum code_kind kind;
    int64_t id; /* 1 or more */
    int issue;  /* 0 to CODE_ISSUE_MOST */
};

#define CODE_ISSUE_MOST 999

/* Bytes of a scan code's text, the closing NUL included: a letter, 19 digits, 3 letters, the check character. */
#define CODE_TEXT 25

/* "piece", "kit", ... */
const char *code_kind_name(enum code_kind kind);
/* The letter that opens a code of this kind. */
char code_kind_letter(enum code_kind kind);

/* The check character for `text` of digits and capital letters ('0'-'9', 'A'-'Z' or '*'); '\0' when `text`
 * holds anything else. ISO/IEC 7064:2003, pure system MOD 37-2. */
char code_check(const char *text);

/* Writes the code of the first print for `id` (1 or more) and returns `text`. */
char *code_write(enum code_kind kind, int64_t id, char text[CODE_TEXT]);
/* The same for any issue. */
char *code_write_issue(const struct code *code, char text[CODE_TEXT]);

/* Reads a code as scanned or typed: blanks around it and small letters are taken. False with fault "bad-code"
 * (not the shape of a code, or an unknown kind) or "misread-code" (the check character does not fit); *code
 * is then untouched. There is one spelling for each code: leading zeros are refused. */
bool code_read(const char *text, struct code *code, struct fault *fault) MUST_CHECK;

#endif
