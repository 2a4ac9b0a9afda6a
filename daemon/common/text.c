/* SPDX-License-Identifier: Apache-2.0 */
#include "common/text.h"

#include <string.h>

static bool continues(char byte) {
    return ((unsigned char)byte & 0xC0) == 0x80;
}

bool text_copy(char *target, size_t size, const char *source) {
    size_t length = strlen(source);
    if (length < size) {
        memmove(target, source, length + 1);
        return true;
    }
    size_t cut = size - 1;
    while (cut > 0 && continues(source[cut]))
        cut--;
    memmove(target, source, cut);
    target[cut] = '\0';
    return false;
}

/* Bytes of the UTF-8 character at `at`, 0 when it is not one (overlong, surrogate, beyond U+10FFFF, cut). */
static size_t character_bytes(const unsigned char *at) {
    if (at[0] < 0x80)
        return 1;
    size_t bytes = at[0] >= 0xF0 ? 4 : at[0] >= 0xE0 ? 3 : 2;
    if (at[0] < 0xC2 || at[0] > 0xF4)
        return 0;
    for (size_t i = 1; i < bytes; i++)
        if (!continues((char)at[i]))
            return 0;
    if ((at[0] == 0xE0 && at[1] < 0xA0) || (at[0] == 0xED && at[1] > 0x9F) ||
        (at[0] == 0xF0 && at[1] < 0x90) || (at[0] == 0xF4 && at[1] > 0x8F))
        return 0;
    return bytes;
}

/* The same for what may stand in a text: no control character but tab and newline. */
static size_t printable_bytes(const unsigned char *at) {
    bool control = (*at < 0x20 && *at != '\t' && *at != '\n') || *at == 0x7F;
    return control ? 0 : character_bytes(at);
}

void text_mend(char *text) {
    for (unsigned char *at = (unsigned char *)text; *at != '\0';) {
        size_t bytes = printable_bytes(at);
        if (bytes == 0)
            *at = '?';
        at += bytes == 0 ? 1 : bytes;
    }
}

long text_check(const char *text, size_t most) {
    const unsigned char *at = (const unsigned char *)text;
    while (*at) {
        size_t bytes = printable_bytes(at);
        if (bytes == 0)
            return -1;
        at += bytes;
        if ((size_t)(at - (const unsigned char *)text) > most)
            return -1;
    }
    return (long)(at - (const unsigned char *)text);
}
