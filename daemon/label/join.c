/* Texts side by side in one line. SPDX-License-Identifier: Apache-2.0 */
#include "common/text.h"
#include "label/kinds.h"

#include <string.h>

/* Hebrew, Arabic and all that comes after them in Unicode, which includes the marks that turn text round. */
static bool may_turn(const char *text) {
    for (; *text; text++)
        if ((unsigned char)*text >= 0xD6)
            return true;
    return false;
}

/* U+202A to U+202E, U+2066 to U+2069: marks of direction that reach beyond the letters beside them. */
static bool is_turning_mark(const char *at) {
    const unsigned char *byte = (const unsigned char *)at;
    return byte[0] == 0xE2 && ((byte[1] == 0x80 && byte[2] >= 0xAA && byte[2] <= 0xAE) ||
                               (byte[1] == 0x81 && byte[2] >= 0xA6 && byte[2] <= 0xA9));
}

/* The part between U+2068 and U+2069, which keep its direction to itself (UAX 9, isolates), without marks of its own that
 * could end that and turn what comes after. */
static void isolate(char *text, size_t size, const char *part) {
    static const char begin[] = "\xE2\x81\xA8", end[] = "\xE2\x81\xA9";
    size_t used = sizeof begin - 1;
    text_copy(text, size, begin);
    while (*part && used + sizeof end < size) {
        if (is_turning_mark(part))
            part += 3;
        else
            text[used++] = *part++;
    }
    text_copy(text + used, size - used, end);
}

static void append(char *text, size_t size, const char *more) {
    size_t used = strlen(text);
    text_copy(text + used, size - used, more);
}

char *motif_join(char *text, size_t size, const char *first, const char *second, const char *third) {
    /* U+200E: the line as a whole runs to the right, even when its first part does not. */
    static const char rightwards[] = "\xE2\x80\x8E";
    const char *const parts[] = {first, second, third};
    text[0] = '\0';
    for (int i = 0; i < 3; i++) {
        char piece[512];
        if (parts[i] == NULL || parts[i][0] == '\0')
            continue;
        bool turns = may_turn(parts[i]);
        append(text, size, text[0] ? " · " : turns ? rightwards : "");
        if (turns)
            isolate(piece, sizeof piece, parts[i]);
        append(text, size, turns ? piece : parts[i]);
    }
    return text;
}
