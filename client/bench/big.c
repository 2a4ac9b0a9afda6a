/* SPDX-License-Identifier: Apache-2.0 */
#include "bench/big.h"

#include <ctype.h>
#include <string.h>

enum { HIGH = 5 };

/* Row by row, parted by blanks. */
static const struct {
    char letter;
    const char *rows;
} glyphs[] = {
    {'A', "### #.# ### #.# #.#"},
    {'B', "##. #.# ##. #.# ##."},
    {'C', "### #.. #.. #.. ###"},
    {'D', "##. #.# #.# #.# ##."},
    {'E', "### #.. ##. #.. ###"},
    {'F', "### #.. ##. #.. #.."},
    {'G', "#### #... #.## #..# ####"},
    {'H', "#.# #.# ### #.# #.#"},
    {'I', "### .#. .#. .#. ###"},
    {'J', "..# ..# ..# #.# ###"},
    {'K', "#..# #.#. ##.. #.#. #..#"},
    {'L', "#.. #.. #.. #.. ###"},
    {'M', "#...# ##.## #.#.# #...# #...#"},
    {'N', "#..# ##.# #.## #..# #..#"},
    {'O', ".##. #..# #..# #..# .##."},
    {'P', "### #.# ### #.. #.."},
    {'Q', ".##. #..# #..# #.## .###"},
    {'R', "### #.# ##. #.# #.#"},
    {'S', ".## #.. .#. ..# ##."},
    {'T', "### .#. .#. .#. .#."},
    {'U', "#..# #..# #..# #..# .##."},
    {'V', "#.# #.# #.# #.# .#."},
    {'W', "#...# #...# #.#.# ##.## #...#"},
    {'X', "#.# #.# .#. #.# #.#"},
    {'Y', "#.# #.# .#. .#. .#."},
    {'Z', "### ..# .#. #.. ###"},
    {'0', "### #.# #.# #.# ###"},
    {'1', ".#. ##. .#. .#. ###"},
    {'2', "### ..# ### #.. ###"},
    {'3', "### ..# ### ..# ###"},
    {'4', "#.# #.# ### ..# ..#"},
    {'5', "### #.. ### ..# ###"},
    {'6', "### #.. ### #.# ###"},
    {'7', "### ..# ..# ..# ..#"},
    {'8', "### #.# ### #.# ###"},
    {'9', "### #.# ### ..# ###"},
    {' ', ".. .. .. .. .."},
    {'.', ". . . . #"},
    {'-', "... ... ### ... ..."},
    {'/', "..# ..# .#. #.. #.."},
    {'>', "#.. .#. ..# .#. #.."},
    {'*', "... #.# .#. #.# ..."},
};

static const char *glyph_of(char letter) {
    for (size_t i = 0; i < sizeof glyphs / sizeof glyphs[0]; i++)
        if (glyphs[i].letter == toupper((unsigned char)letter))
            return glyphs[i].rows;
    return NULL;
}

static size_t width_of(const char *rows) {
    return strcspn(rows, " ");
}

static bool is_set(const char *rows, int row, size_t column) {
    return row < HIGH && rows[(size_t)row * (width_of(rows) + 1) + column] == '#';
}

/* One line: whole rows, each dot twice as wide as a column; or two rows at once in half blocks. */
static void print_line(const struct screen *screen, const char *text, int row, bool halves) {
    static const char *const blocks[] = {" ", "\u2580", "\u2584", "\u2588"};
    char line[1024] = "  ";
    size_t used = 2;
    for (; *text != '\0'; text++) {
        const char *rows = glyph_of(*text);
        for (size_t i = 0; i <= width_of(rows); i++) {
            bool gap = i == width_of(rows), upper = !gap && is_set(rows, row, i),
                 lower = !gap && is_set(rows, row + 1, i);
            const char *dot = halves            ? blocks[upper + 2 * lower]
                              : !upper          ? "  "
                              : screen->unicode ? "\u2588\u2588"
                                                : "##";
            if (used + strlen(dot) < sizeof line) {
                memcpy(line + used, dot, strlen(dot));
                used += strlen(dot);
            }
        }
    }
    while (used > 0 && line[used - 1] == ' ')
        used--;
    line[used] = '\0';
    screen_text(screen, PAINT_BOLD, line);
    putc('\n', screen->file);
}

int big_print(const struct screen *screen, const char *text) {
    size_t dots = 0;
    int lines = 0;
    for (const char *at = text; *at != '\0'; at++) {
        if (glyph_of(*at) == NULL)
            return 0;
        dots += width_of(glyph_of(*at)) + 1;
    }
    bool whole = 2 + 2 * dots <= (size_t)screen->width;
    if (dots == 0 || (!whole && (!screen->unicode || 2 + dots > (size_t)screen->width)))
        return 0;
    for (int row = 0; row < HIGH; row += whole ? 1 : 2, lines++)
        print_line(screen, text, row, !whole);
    return lines;
}
