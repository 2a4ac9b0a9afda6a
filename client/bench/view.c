/* SPDX-License-Identifier: Apache-2.0 */
#include "bench/view.h"

#include "bench/big.h"
#include "plan_view.h"

#include <string.h>

/* Lines that `text` takes as a paragraph; a little more than it may be at worst. */
static int lines_of(const struct screen *screen, const char *text) {
    return screen->width > 0 ? 1 + (screen_columns(text) + screen->width / 8) / screen->width : 1;
}

static int print_said(const struct screen *screen, const struct bench *bench) {
    static const struct {
        const char *word;
        enum paint paint;
    } marks[] = {[BENCH_TOLD] = {"", PAINT_PLAIN},
                 [BENCH_DONE] = {"Done: ", PAINT_GREEN},
                 [BENCH_REFUSED] = {"No: ", PAINT_RED}};
    char text[BENCH_TEXT + 8];
    if (bench->said[0] == '\0')
        return 0;
    screen_text(screen, marks[bench->outcome].paint, marks[bench->outcome].word);
    /* The word takes its columns of the first line. */
    snprintf(text, sizeof text, "%s", bench->said);
    struct screen narrower = *screen;
    narrower.width =
        screen->width > 12 ? screen->width - (int)strlen(marks[bench->outcome].word) : screen->width;
    screen_paragraph(&narrower, 0, text);
    return lines_of(&narrower, text);
}

static int print_next(const struct screen *screen, const struct bench *bench) {
    char next[BENCH_TEXT], text[BENCH_TEXT + 8];
    bench_next(bench, next);
    snprintf(text, sizeof text, "Next: %s", next);
    screen_paragraph(screen, 0, text);
    return lines_of(screen, text);
}

/* The first row is the next; `most` rows at most, 0 for all. */
static void print_list(const struct screen *screen, const struct bench *bench, size_t most) {
    static const struct column kits[] = {{" ", "now", COLUMN_TEXT},
                                         {"bin", "a", COLUMN_TEXT},
                                         {"quantity", "b", COLUMN_TEXT},
                                         {"part", "c", COLUMN_TEXT},
                                         {"into", "d", COLUMN_TEXT | COLUMN_MINOR}};
    static const struct column bar[] = {{"stop at", "a", COLUMN_TEXT},
                                        {"mark on bar", "b", COLUMN_TEXT | COLUMN_MINOR},
                                        {"piece", "c", COLUMN_TEXT},
                                        {"order", "d", COLUMN_TEXT}};
    static const struct column found[] = {{"what", "a", COLUMN_TEXT},
                                          {"on hand", "b", COLUMN_TEXT},
                                          {"name", "c", COLUMN_TEXT},
                                          {"batch", "d", COLUMN_TEXT | COLUMN_MINOR}};
    json_t *rows = bench_list(bench);
    size_t all = json_array_size(rows), more = most > 0 && all > most ? all - most : 0;
    while (json_array_size(rows) > all - more)
        json_array_remove(rows, json_array_size(rows) - 1);
    json_object_set_new(json_array_get(rows, 0), "now", json_string(">"));
    if (all > 0 && bench->hand == HAND_KITS)
        table_print(screen, kits, sizeof kits / sizeof kits[0], rows, "");
    else if (all > 0 && bench->hand == HAND_BAR)
        table_print(screen, bar, sizeof bar / sizeof bar[0], rows, "");
    else if (all > 0)
        table_print(screen, found, sizeof found / sizeof found[0], rows, "");
    if (more > 0)
        fprintf(screen->file, "and %zu more: MORE shows them\n", more);
    json_decref(rows);
}

static void print_caution(const struct screen *screen) {
    screen_text(screen, PAINT_YELLOW, "Caution: ");
    screen_text(screen, PAINT_PLAIN, "guard the blade, clamp the bar, protect eyes and ears.\n");
}

/* Six lines of a bar to scale. */
static void print_picture(const struct screen *screen, const struct bench *bench) {
    if (bench_bar(bench) != NULL)
        plan_view_bar(screen, bench->shown, bench_bar(bench));
}

/* Everything new in turn; what is done scrolls up. */
static void print_lines(const struct screen *screen, const struct bench *bench, const char *given) {
    if (given[0] != '\0')
        fprintf(screen->file, "> %s\n", given);
    print_said(screen, bench);
    if (bench->fresh && bench->hand == HAND_BAR) {
        print_picture(screen, bench);
        print_caution(screen);
    }
    if (bench->fresh || bench->whole_list)
        print_list(screen, bench, 0);
    print_next(screen, bench);
}

static void print_screen(const struct screen *screen, const struct bench *bench, const char *given) {
    enum { PICTURE = 7, TABLE_HEAD = 1, TABLE_FOOT = 2, PROMPT = 2 };
    char hand[BENCH_TEXT], big[BENCH_BIG];
    fputs("\033[H\033[2J", screen->file);
    bench_in_hand(bench, hand);
    screen_text(screen, PAINT_DIM, "");
    screen_paragraph(screen, 0, hand);
    int used = lines_of(screen, hand) + 1;
    putc('\n', screen->file);
    if (given[0] != '\0' && bench->said[0] != '\0') {
        fprintf(screen->file, "> %s\n", given);
        used++;
    }
    used += print_said(screen, bench) + 1;
    putc('\n', screen->file);
    bench_big(bench, big);
    int lines = screen->height == 0 || screen->height >= used + 8 ? big_print(screen, big) : 0;
    if (lines > 0)
        putc('\n', screen->file);
    used += lines + (lines > 0) + print_next(screen, bench) + 1;
    putc('\n', screen->file);
    if (bench->hand == HAND_BAR) {
        print_caution(screen);
        used++;
        if (screen->height == 0 || used + PICTURE + TABLE_HEAD + TABLE_FOOT + PROMPT < screen->height) {
            print_picture(screen, bench);
            used += PICTURE;
        }
    }
    int room = screen->height - used - TABLE_HEAD - TABLE_FOOT - PROMPT;
    print_list(screen, bench, bench->whole_list ? 0 : room > 1 ? (size_t)room : 1);
}

void view_print(const struct screen *screen, const struct bench *bench, const char *given) {
    if (screen->terminal && screen->height > 0)
        print_screen(screen, bench, given);
    else
        print_lines(screen, bench, given);
    if (screen->terminal && bench->outcome == BENCH_REFUSED)
        putc('\a', screen->file);
    if (screen->terminal && !bench->ended)
        fputs("> ", screen->file);
    fflush(screen->file);
}
