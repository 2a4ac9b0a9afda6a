/* Printing for people: tables, fields, bars of progress, as wide as the terminal, coloured only where that is
 * wanted. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SCREEN_H
#define ELLWAND_CLIENT_SCREEN_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

struct screen {
    FILE *file; /* takes UTF-8 */
    bool terminal;
    bool colour; /* on a terminal, unless NO_COLOR is set or TERM is "dumb" */
    bool unicode;
    int width;  /* columns; 0: no limit (not a terminal) */
    int height; /* lines; 0: not known, or none that can be drawn anew (not a terminal, or a "dumb" one) */
};

/* `file` goes on being the caller's. What a terminal that does not take UTF-8 gets is put into its own letters (letters.h); files
 * and pipes get UTF-8 whatever the locale is, for data must not change. */
void screen_open(struct screen *screen, FILE *file);

/* Takes note of a terminal's size, which may have changed since. `file` as for screen_open. */
void screen_measure(struct screen *screen, FILE *file);

enum paint { PAINT_PLAIN, PAINT_BOLD, PAINT_DIM, PAINT_RED, PAINT_YELLOW, PAINT_GREEN };
/* Prints `text` in that paint; control characters in it but line ends come out as '?', so that data cannot
 * command the terminal. */
void screen_text(const struct screen *screen, enum paint paint, const char *text);

/* A heading on a line of its own, after an empty line. */
void screen_heading(const struct screen *screen, const char *title);

/* Prints `text` in lines that fit the terminal, each `indent` columns in. */
void screen_paragraph(const struct screen *screen, int indent, const char *text);

/* Columns that `text` takes on the terminal. */
int screen_columns(const char *text);

/* Cuts `text` to `width` columns, the last of which then says so. */
void screen_cut(const struct screen *screen, char text[256], int width);

enum column_kind {
    COLUMN_TEXT,
    COLUMN_NUMBER, /* a number, to the right */
    COLUMN_LENGTH, /* millimetres, one decimal where there is one; a row with a "unit" counts pieces unless that is "length" */
    COLUMN_MONEY, /* minor units, shown with two decimals */
    COLUMN_SHARE, /* a share of 1, shown as per cent */
    COLUMN_TIME,  /* ISO 8601 with Z, shown in local time to the minute */
    COLUMN_YES,   /* true: "yes", else nothing */
    COLUMN_COUNT, /* how many items a list has */

    COLUMN_MINOR = 16 /* added to one of the above: given up first where the terminal is narrow */
};

struct column {
    const char *title;
    const char *field; /* of the row; "a.b" looks into an object */
    enum column_kind kind;
};

enum { COLUMNS_MOST = 20 };

/* Prints `rows` (a list of objects), each on one line. On a terminal columns in which nothing stands are left out, and where
 * it is too narrow headings take several lines, sentences (a last column without heading) go below their row, texts are cut and minor columns given up, which it then says. With no rows
 * it prints `nothing`. At most COLUMNS_MOST columns. */
void table_print(const struct screen *screen, const struct column columns[], size_t count, const json_t *rows,
                 const char *nothing);

/* Prints fields of one object, a line each; those that are absent are left out. */
void fields_print(const struct screen *screen, const struct column fields[], size_t count,
                  const json_t *object);

/* Gives each row of the list `field` the "unit" of `object`, where that has one. */
void rows_share_unit(const json_t *object, const char *field);

/* The text of one field as both of the above show it, a length with its unit. */
void field_text(const json_t *object, const struct column *column, char text[256]);

/* The same without the unit, as a column of a table has it. */
void field_figure(const json_t *object, const struct column *column, char text[256]);

/* One line on a terminal that shows how far long work has come, `share` from 0 to 1; nothing elsewhere. At
 * most ten times a second. progress_end wipes the line. */
struct progress {
    const struct screen *screen;
    const char *what;
    long long shown_ms;
    bool drawn;
};
void progress_begin(struct progress *progress, const struct screen *screen, const char *what);
void progress_show(struct progress *progress, double share, const char *note);
void progress_end(struct progress *progress);

#endif
