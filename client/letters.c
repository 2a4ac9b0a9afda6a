/* SPDX-License-Identifier: Apache-2.0 */
#include "letters.h"

#include <limits.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

/* The locale's bytes for a character, or its likeness. */
static void put_character(wchar_t wide, FILE *file) {
    static const struct {
        wchar_t wide;
        const char *likeness;
    } likenesses[] = {{0x2026, "..."}, {0xD7, "x"},   {0x2013, "-"},  {0x2014, "-"},
                      {0x2018, "'"},   {0x2019, "'"}, {0x201C, "\""}, {0x201D, "\""},
                      {0x2192, "->"},  {0xB2, "2"},   {0xB0, " deg"}};
    char bytes[MB_LEN_MAX];
    mbstate_t state = {0};
    size_t count = wcrtomb(bytes, wide, &state);
    if (count != (size_t)-1) {
        fwrite(bytes, 1, count, file);
        return;
    }
    const char *found = "?";
    for (size_t i = 0; i < sizeof likenesses / sizeof likenesses[0]; i++)
        found = likenesses[i].wide == wide ? likenesses[i].likeness : found;
    fputs(found, file);
}

/* Bytes of a character by its first one (RFC 3629); 0 when none begins so. */
static size_t bytes_of(unsigned char first) {
    return first < 0x80                     ? 1
           : first >= 0xC2 && first <= 0xDF ? 2
           : (first & 0xF0) == 0xE0         ? 3
           : first >= 0xF0 && first <= 0xF4 ? 4
                                            : 0;
}

static wchar_t decode(const struct letters *letters) {
    static const unsigned char masks[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    unsigned value = letters->held[0] & masks[letters->wanted];
    for (size_t i = 1; i < letters->wanted; i++)
        value = value << 6 | (letters->held[i] & 0x3F);
    return (wchar_t)value;
}

static void put_byte(struct letters *letters, unsigned char byte, FILE *file) {
    bool follows = (byte & 0xC0) == 0x80;
    if (letters->used > 0 && !follows) { /* the one before was broken off */
        putc('?', file);
        letters->used = 0;
    }
    if (letters->used == 0)
        letters->wanted = bytes_of(byte);
    if (letters->wanted == 0) {
        putc('?', file);
        return;
    }
    letters->held[letters->used++] = byte;
    if (letters->used < letters->wanted)
        return;
    if (letters->wanted == 1)
        putc(byte, file);
    else
        put_character(decode(letters), file);
    letters->used = 0;
}

bool letters_put(struct letters *letters, const char *bytes, size_t count, FILE *file) {
    for (size_t i = 0; i < count; i++)
        put_byte(letters, (unsigned char)bytes[i], file);
    return fflush(file) == 0 && ferror(file) == 0;
}

struct stream {
    struct letters letters;
    FILE *file;
};

static ssize_t write_stream(void *cookie, const char *bytes, size_t count) {
    struct stream *stream = cookie;
    return letters_put(&stream->letters, bytes, count, stream->file) ? (ssize_t)count : 0;
}

static int close_stream(void *cookie) {
    free(cookie);
    return 0;
}

FILE *letters_open(FILE *file) {
    struct stream *stream = calloc(1, sizeof *stream);
    if (stream == NULL)
        return NULL;
    stream->file = file;
    FILE *opened =
        fopencookie(stream, "w", (cookie_io_functions_t){.write = write_stream, .close = close_stream});
    if (opened == NULL)
        free(stream);
    else
        setvbuf(opened, NULL, _IOLBF, 0);
    return opened;
}
