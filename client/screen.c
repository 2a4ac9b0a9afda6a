/* SPDX-License-Identifier: Apache-2.0 */
#include "screen.h"

#include "letters.h"

#include <langinfo.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>
#include <wchar.h>

static int terminal_width(FILE *file) {
    struct winsize size;
    const char *columns = getenv("COLUMNS");
    long wanted = columns != NULL ? strtol(columns, NULL, 10) : 0;
    if (wanted >= 20 && wanted <= 1000)
        return (int)wanted;
    if (ioctl(fileno(file), TIOCGWINSZ, &size) == 0 && size.ws_col >= 20)
        return size.ws_col;
    return 80;
}

static int terminal_height(FILE *file) {
    struct winsize size;
    const char *lines = getenv("LINES");
    long wanted = lines != NULL ? strtol(lines, NULL, 10) : 0;
    if (wanted >= 5 && wanted <= 1000)
        return (int)wanted;
    return ioctl(fileno(file), TIOCGWINSZ, &size) == 0 && size.ws_row >= 5 ? size.ws_row : 24;
}

static bool is_dumb(void) {
    const char *kind = getenv("TERM");
    return kind != NULL && strcmp(kind, "dumb") == 0;
}

void screen_measure(struct screen *screen, FILE *file) {
    screen->width = screen->terminal ? terminal_width(file) : 0;
    screen->height = screen->terminal && !is_dumb() ? terminal_height(file) : 0;
}

void screen_open(struct screen *screen, FILE *file) {
    const char *no_colour = getenv("NO_COLOR");
    bool terminal = isatty(fileno(file)) != 0;
    bool unicode = strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
    FILE *own = terminal && !unicode ? letters_open(file) : NULL;
    *screen = (struct screen){.file = own != NULL ? own : file,
                              .terminal = terminal,
                              .colour = terminal && (no_colour == NULL || no_colour[0] == '\0') && !is_dumb(),
                              .unicode = unicode};
    screen_measure(screen, file);
}

void screen_text(const struct screen *screen, enum paint paint, const char *text) {
    static const char *const codes[] = {"", "1", "2", "31", "33", "32"};
    bool painted = screen->colour && paint != PAINT_PLAIN;
    if (painted)
        fprintf(screen->file, "\033[%sm", codes[paint]);
    for (const char *at = text; *at != '\0'; at++)
        putc(((unsigned char)*at < 0x20 && *at != '\n') || *at == 0x7F ? '?' : *at, screen->file);
    if (painted)
        fputs("\033[0m", screen->file);
}

/* Bytes of the character at `text` and the columns it takes; a locale that cannot read it counts a column for
 * each first byte. */
static size_t next_character(const char *text, int *columns) {
    size_t bytes = 1;
    while (((unsigned char)text[bytes] & 0xC0) == 0x80)
        bytes++;
    wchar_t wide = 0;
    mbstate_t state = {0};
    size_t read = mbrtowc(&wide, text, bytes, &state);
    int width = read == bytes ? wcwidth(wide) : 1;
    *columns = width < 0 ? 1 : width;
    return bytes;
}

int screen_columns(const char *text) {
    int columns = 0;
    while (*text != '\0') {
        int width;
        text += next_character(text, &width);
        columns += width;
    }
    return columns;
}

void screen_cut(const struct screen *screen, char text[256], int width) {
    if (screen_columns(text) <= width)
        return;
    size_t used = strlen(text);
    while (used > 0 && screen_columns(text) > width - 1) {
        do
            used--;
        while (used > 0 && ((unsigned char)text[used] & 0xC0) == 0x80);
        text[used] = '\0';
    }
    snprintf(text + used, 256 - used, "%s", screen->unicode ? "\u2026" : ">");
}

void screen_heading(const struct screen *screen, const char *title) {
    putc('\n', screen->file);
    screen_text(screen, PAINT_BOLD, title);
    putc('\n', screen->file);
}

void screen_paragraph(const struct screen *screen, int indent, const char *text) {
    int used = 0;
    while (*text != '\0') {
        char word[256];
        size_t length = strcspn(text, " ");
        snprintf(word, sizeof word, "%.*s", (int)(length < sizeof word ? length : sizeof word - 1), text);
        int columns = screen_columns(word);
        if (used > 0 && screen->width > 0 && indent + used + 1 + columns > screen->width) {
            putc('\n', screen->file);
            used = 0;
        }
        fprintf(screen->file, "%*s", used == 0 ? indent : 1, "");
        screen_text(screen, PAINT_PLAIN, word);
        used += columns + (used > 0);
        text += length < sizeof word ? length : sizeof word - 1;
        text += strspn(text, " ");
    }
    putc('\n', screen->file);
}

/* The clock that never jumps, in milliseconds. */
static long long now_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

void progress_begin(struct progress *progress, const struct screen *screen, const char *what) {
    *progress = (struct progress){.screen = screen, .what = what};
}

void progress_show(struct progress *progress, double share, const char *note) {
    enum { CELLS = 20 };
    if (!progress->screen->terminal || (progress->drawn && now_ms() < progress->shown_ms + 100))
        return;
    int full = (int)((share < 0 ? 0 : share > 1 ? 1 : share) * CELLS);
    fprintf(progress->screen->file, "\r\033[K%s [", progress->what);
    for (int i = 0; i < CELLS; i++)
        putc(i < full ? '#' : '.', progress->screen->file);
    fprintf(progress->screen->file, "] %s", note);
    fflush(progress->screen->file);
    progress->shown_ms = now_ms();
    progress->drawn = true;
}

void progress_end(struct progress *progress) {
    if (progress->drawn)
        fputs("\r\033[K", progress->screen->file);
    progress->drawn = false;
}
