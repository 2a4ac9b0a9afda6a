/* SPDX-License-Identifier: Apache-2.0 */
#include "table_fit.h"

#include <string.h>

/* Texts are cut to COMFORTABLE columns before minor columns go, and to NARROWEST after that. */
enum { NARROWEST = 8, COMFORTABLE = 22, TITLE_LINES = 3 };

static int largest(int one, int other) {
    return one > other ? one : other;
}

/* Columns of the longest word of a heading. */
static int longest_word(const char *title) {
    char text[TITLE_TEXT];
    int longest = 0;
    for (const char *at = title; *at;) {
        size_t bytes = strcspn(at, " ");
        snprintf(text, sizeof text, "%.*s", (int)bytes, at);
        longest = largest(longest, screen_columns(text));
        at += bytes + strspn(at + bytes, " ");
    }
    return longest;
}

char *table_title_line(const char *title, int width, int line, char text[TITLE_TEXT]) {
    for (int at = 0; at <= line; at++) {
        size_t used = 0;
        text[0] = '\0';
        title += strspn(title, " ");
        while (*title) {
            size_t word = strcspn(title, " ");
            char longer[TITLE_TEXT];
            snprintf(longer, sizeof longer, "%.*s%s%.*s", (int)used, text, used ? " " : "", (int)word, title);
            if (used > 0 && screen_columns(longer) > width)
                break;
            memcpy(text, longer, sizeof longer);
            used = strlen(text);
            title += word;
            title += strspn(title, " ");
        }
    }
    return text;
}

static int total(const struct table_fit *table) {
    int sum = 0;
    for (size_t i = 0; i < table->count; i++)
        if (table->columns[i].shown)
            sum += table->columns[i].width + (sum > 0 ? TABLE_GAP : 0);
    return sum;
}

static void set_widths(struct table_fit *table, bool stacked) {
    for (size_t i = 0; i < table->count; i++) {
        struct fitted *column = &table->columns[i];
        column->width =
            largest(column->text, stacked ? longest_word(column->title) : screen_columns(column->title));
    }
}

/* Takes columns from the widest texts until the table fits or all are at `least`. */
static bool cut_texts(struct table_fit *table, int room, int least) {
    for (int over = total(table) - room; over > 0; over--) {
        struct fitted *widest = NULL;
        for (size_t i = 0; i < table->count; i++) {
            struct fitted *column = &table->columns[i];
            int floor = largest(least, longest_word(column->title));
            if (column->shown && column->kind == COLUMN_TEXT && column->width > floor &&
                (widest == NULL || column->width > widest->width))
                widest = column;
        }
        if (widest == NULL)
            return false;
        widest->width--;
    }
    return true;
}

/* Gives up the last minor column that is shown. */
static bool give_up(struct table_fit *table) {
    for (size_t i = table->count; i-- > 0;)
        if (table->columns[i].shown && table->columns[i].minor) {
            table->columns[i].shown = false;
            return true;
        }
    return false;
}

static void count_title_lines(struct table_fit *table) {
    char text[TITLE_TEXT];
    for (size_t i = 0; i < table->count; i++)
        for (int line = 1; line < TITLE_LINES && table->columns[i].shown; line++)
            if (table_title_line(table->columns[i].title, table->columns[i].width, line, text)[0] != '\0')
                table->title_lines = largest(table->title_lines, line + 1);
}

void table_fit(struct table_fit *table, int room) {
    table->title_lines = 1;
    for (size_t i = 0; i < table->count; i++)
        table->columns[i].shown = room == 0 || table->columns[i].filled;
    set_widths(table, false);
    if (room == 0 || total(table) <= room)
        return;
    /* A column without a heading holds sentences, which nobody wants cut. */
    struct fitted *last = &table->columns[table->count - 1];
    table->sentence_below = last->title[0] == '\0' && last->shown;
    last->shown = last->shown && !table->sentence_below;
    set_widths(table, true);
    while (!cut_texts(table, room, COMFORTABLE) && give_up(table))
        set_widths(table, true);
    cut_texts(table, room, NARROWEST);
    count_title_lines(table);
}
