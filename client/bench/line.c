/* SPDX-License-Identifier: Apache-2.0 */
#include "bench/line.h"

#include "common/text.h"

#include <string.h>

/* Some scanners put a tab or blanks before or after what they read, and their own sign of the kind of symbol (ISO/IEC 15424:
 * "]", a letter, a figure) before it. */
static void tidy(const char *held, char text[LINE_MOST + 1]) {
    const char *from = held + strspn(held, " \t");
    size_t length = strlen(from);
    while (length > 0 && (from[length - 1] == ' ' || from[length - 1] == '\t'))
        length--;
    if (length > 3 && from[0] == ']') {
        from += 3;
        length -= 3;
    }
    memcpy(text, from, length);
    text[length] = '\0';
}

static enum line_kind finish(struct line_reader *reader, char text[LINE_MOST + 1]) {
    enum line_kind kind = LINE_TEXT;
    text[0] = '\0';
    reader->held[reader->used] = '\0';
    if (reader->too_long)
        kind = LINE_LONG;
    else if (text_check(reader->held, LINE_MOST) < 0)
        kind = LINE_JUNK;
    else
        tidy(reader->held, text);
    *reader = (struct line_reader){0};
    return kind;
}

enum line_kind line_take(struct line_reader *reader, const char *bytes, size_t count, size_t *taken,
                         char text[LINE_MOST + 1]) {
    text[0] = '\0';
    for (*taken = 0; *taken < count;) {
        char byte = bytes[(*taken)++];
        bool ends = byte == '\n' || byte == '\r' || byte == '\0';
        if (ends && (reader->used > 0 || reader->too_long))
            return finish(reader, text);
        if (ends)
            continue;
        if (reader->used < LINE_MOST)
            reader->held[reader->used++] = byte;
        else
            reader->too_long = true;
    }
    return LINE_NONE;
}

enum line_kind line_rest(struct line_reader *reader, char text[LINE_MOST + 1]) {
    text[0] = '\0';
    return reader->used > 0 ? finish(reader, text) : LINE_NONE;
}
