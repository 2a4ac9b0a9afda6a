/* A page as a list of things placed in boxes, worked out before anything is painted, so that a test can prove
 * from the numbers that each text lies whole in its box. Millimetres, x to the right and y down; letter sizes
 * in points.
 *
 *     struct page page;
 *     if (page_open(&page, fault)) {
 *         page_begin(&page, 100, 50);
 *         page_text(&page, box, &style, "1830.5");
 *         ...
 *     }
 *     good = page_good(&page);
 *     page_close(&page);
 *
 * The first thing that goes wrong is kept in the fault and makes everything after it do nothing.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_PAGE_H
#define ELLWAND_LABEL_PAGE_H

#include "common/fault.h"
#include "label/area.h"
#include "label/symbol.h"

#include <pango/pangocairo.h>

enum item_kind { ITEM_TEXT, ITEM_FILL, ITEM_LINE, ITEM_SHAPE, ITEM_SYMBOL };

enum { SHAPE_POINTS = 8 };

struct item {
    enum item_kind kind;
    struct area box; /* for text: what it must stay in; for a symbol: with its quiet zone */
    struct area ink; /* what it blackens */
    double grey;     /* 0 black, 1 white */
    /* text */
    PangoLayout *layout;
    double x, y, points; /* top left of the layout; letter size */
    bool essential, shortened;
    int turn; /* quarter turns, clockwise */
    /* line: from the ink's corner to its opposite one, or rising; shape: a closed outline */
    double thickness; /* mm; 0 fills a shape */
    double dash;      /* mm; 0 is a whole line */
    int point_count;
    struct {
        double x, y;
    } points_at[SHAPE_POINTS];
    /* symbol */
    size_t first_bar, bar_count;
};

enum align { ALIGN_LEFT, ALIGN_CENTRE, ALIGN_RIGHT };
enum settle { SETTLE_MIDDLE, SETTLE_TOP, SETTLE_BOTTOM };

struct text_style {
    double most, least; /* points: it starts at `most` and shrinks to `least` until it fits */
    bool bold;
    enum align align;
    enum settle settle;
    int lines;      /* it may break into; 0 and 1 mean one */
    bool essential; /* never shortened: when it does not fit at `least` the label is refused as too small */
    bool tight;     /* a figure: its ink fills the box, not the line with its space above and below */
    bool white;     /* on a black ground */
};

struct page {
    double width, height;
    bool turned;       /* laid out lying, printed standing: a quarter turn clockwise */
    int dots_per_inch; /* of the printer, 0 when not known */
    struct item *items;
    size_t count, room;
    struct area *bars;
    size_t bar_count, bar_room;
    unsigned missing; /* letters that no font had, shown as U+FFFD, since page_open */
    PangoContext *context;
    PangoFontDescription *plain, *bold;
    struct fault *fault;
    bool failed;
};

/* Opens a page without size; close it whatever comes of it. */
bool page_open(struct page *page, struct fault *fault);
void page_close(struct page *page);
/* Throws away what was placed and starts anew. */
void page_begin(struct page *page, double width, double height);
/* False when anything failed since page_open. */
bool page_good(const struct page *page) MUST_CHECK;
/* Records a failure; the first one wins. */
void page_fail(struct page *page, const char *code, const char *message);

/* Places text, always plain text, and returns what it blackens. The rule when it does not fit: shrink to the
 * style's least size, break into the lines it allows, then end in "…" (and, in scripts that stack letters higher than the
 * box, go down to 2/3 of the least size); essential text is refused instead with
 * fault "label-too-small". Texts that are NULL or empty place nothing. */
struct area page_text(struct page *page, struct area box, const struct text_style *style, const char *text);
struct area page_print(struct page *page, struct area box, const struct text_style *style, const char *format,
                       ...) PRINTF_LIKE(4, 5);
/* The same, reading upwards (turn 3) or downwards (turn 1) in a box that stands. */
struct area page_text_turned(struct page *page, struct area box, const struct text_style *style, int turn,
                             const char *text);
/* The width in mm that `text` takes at the style's `most`. */
double page_text_width(struct page *page, const struct text_style *style, const char *text);

/* The height in mm of `text` broken to a width in mm, at the style's `most`. */
double page_text_height(struct page *page, const struct text_style *style, double width, const char *text);

void page_fill(struct page *page, struct area area, double grey);
void page_line(struct page *page, double x1, double y1, double x2, double y2, double thickness, double dash);
void page_frame(struct page *page, struct area area, double thickness);
/* A closed outline of `count` (3 to SHAPE_POINTS) points x, y, x, y, ...; filled when thickness is 0. */
void page_shape(struct page *page, const double *xy, int count, double thickness, double grey);

/* Places a scan symbol of `content` with its quiet zone in the box's upper left corner, its modules whole
 * dots of the printer, and returns box and quiet zone together. Fault "label-too-small" when a module would
 * be too small to read. */
struct area page_symbol(struct page *page, struct area box, enum symbology symbology, const char *content);

#endif
