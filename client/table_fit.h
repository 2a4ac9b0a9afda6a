/* How a table fits a terminal. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_TABLE_FIT_H
#define ELLWAND_CLIENT_TABLE_FIT_H

#include "screen.h"

enum { TABLE_GAP = 2, TITLE_TEXT = 64 };

/* A column of a table: its heading, and how wide its widest text is and it will be. */
struct fitted {
    char title[TITLE_TEXT];
    enum column_kind kind; /* without COLUMN_MINOR */
    bool minor, shown, filled;
    int text, width;
};
struct table_fit {
    size_t count;
    struct fitted columns[COLUMNS_MOST];
    int title_lines;
    bool sentence_below; /* the last column goes below its row */
};

/* Sets all but `title`, `kind`, `minor`, `filled` and `text` from these, for a terminal of `room` columns; 0: no limit, and
 * then every column is shown under a heading of one line. */
void table_fit(struct table_fit *table, int room);

/* Line number `line` (from 0) of a heading broken at blanks to `width` columns; "" after the last. Returns `text`. */
char *table_title_line(const char *title, int width, int line, char text[TITLE_TEXT]);

#endif
