/* What a scanner or a keyboard sends, cut into lines of bounded length. Pure: it reads no file.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_LINE_H
#define ELLWAND_CLIENT_BENCH_LINE_H

#include <stdbool.h>
#include <stddef.h>

enum { LINE_MOST = 200 }; /* bytes of a line, the closing NUL not counted */

enum line_kind {
    LINE_NONE, /* no whole line yet */
    LINE_TEXT, /* UTF-8 without control characters, blanks around it taken off */
    LINE_LONG, /* more than LINE_MOST bytes; all of it was passed over */
    LINE_JUNK  /* bytes that are no text: a scanner set to another language, or noise on the wire */
};

struct line_reader {
    char held[LINE_MOST + 1];
    size_t used;
    bool too_long;
};

/* Takes bytes until a line is whole, *taken of them: a line ends with CR, LF or NUL, and an empty one is passed over when it
 * follows at once (CR LF is one end). On LINE_TEXT `text` is the line, else "". Start with a reader of zeros. */
enum line_kind line_take(struct line_reader *reader, const char *bytes, size_t count, size_t *taken,
                         char text[LINE_MOST + 1]);

/* At the end of the input: what was held without a line end. LINE_NONE when there is nothing. */
enum line_kind line_rest(struct line_reader *reader, char text[LINE_MOST + 1]);

#endif
