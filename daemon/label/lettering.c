/* Text into boxes. SPDX-License-Identifier: Apache-2.0 */
#include "label/page.h"
#include "label/place.h"

#include <stdio.h>
#include <string.h>

#define MM_PER_POINT (25.4 / 72)

/* A text being fitted: the box's size in points, and the layout's measures at the size tried last. */
struct fitting {
    PangoLayout *layout;
    PangoFontDescription *font;
    const struct text_style *style;
    double width, height;
    double size;
    PangoRectangle ink, logical; /* Pango units */
};

/* Sizes go by quarter points, so that few fonts are opened. */
static double quarter(double size) {
    return floor(size * 4 + 1e-9) / 4;
}

static void measure(struct fitting *fit, double size) {
    fit->size = size;
    pango_font_description_set_size(fit->font, (int)lround(size * PANGO_SCALE));
    pango_layout_set_font_description(fit->layout, fit->font);
    pango_layout_get_extents(fit->layout, &fit->ink, &fit->logical);
}

/* How many times too wide and too high it is; 1 or less fits. Tall scripts need only their ink to fit. */
static double excess_width(const struct fitting *fit) {
    double left = fmin(fit->ink.x, 0), right = fmax(fit->ink.x + fit->ink.width, fit->logical.width);
    return (right - left) / PANGO_SCALE / fit->width;
}

static double excess_height(const struct fitting *fit) {
    int height = fit->style->tight || fit->style->lines <= 1 ? fit->ink.height : fit->logical.height;
    return (double)height / PANGO_SCALE / fit->height;
}

static bool fits(const struct fitting *fit) {
    return excess_width(fit) <= 1.0001 && excess_height(fit) <= 1.0001;
}

/* One line, as large as it goes; false when it does not fit at the least size. */
static bool shrink(struct fitting *fit) {
    measure(fit, fit->style->most);
    while (!fits(fit) && fit->size > fit->style->least) {
        double next = quarter(fit->size / fmax(excess_width(fit), excess_height(fit)));
        if (next >= fit->size)
            next = fit->size - 0.25;
        measure(fit, fmax(next, fit->style->least));
    }
    return fits(fit);
}

/* Broken into lines; false when it does not fit at the least size. */
static bool wrap(struct fitting *fit) {
    pango_layout_set_width(fit->layout, (int)(fit->width * PANGO_SCALE));
    pango_layout_set_wrap(fit->layout, PANGO_WRAP_WORD_CHAR);
    double size = fit->style->most;
    while (true) {
        measure(fit, size);
        bool good = pango_layout_get_line_count(fit->layout) <= fit->style->lines && fits(fit);
        if (good || size <= fit->style->least)
            return good;
        size = fmax(size - 0.5, fit->style->least);
    }
}

/* At the least size, ended in "…" after the last line that there is room for. */
static void shorten(struct fitting *fit) {
    PangoRectangle line;
    pango_layout_set_width(fit->layout, (int)(fit->width * PANGO_SCALE));
    pango_layout_set_ellipsize(fit->layout, PANGO_ELLIPSIZE_END);
    measure(fit, fit->style->least);
    pango_layout_line_get_extents(pango_layout_get_line_readonly(fit->layout, 0), NULL, &line);
    int room = (int)(fit->height * PANGO_SCALE / fmax(line.height, 1));
    int lines = fit->style->lines < room ? fit->style->lines : room;
    pango_layout_set_height(fit->layout, lines > 1 ? -lines : -1);
    measure(fit, fit->style->least);
    /* Scripts that stack letters are half as high again as Latin of the same size. */
    while (fit->ink.height > fit->height * PANGO_SCALE && fit->size > fit->style->least * 2 / 3)
        measure(fit, fit->size - 0.25);
}

/* True when the text fits whole; otherwise it has been shortened. */
static bool fit_text(struct fitting *fit) {
    pango_layout_set_width(fit->layout, -1);
    pango_layout_set_ellipsize(fit->layout, PANGO_ELLIPSIZE_NONE);
    if (shrink(fit) && (fit->style->lines <= 1 || fit->size >= fit->style->most))
        return true;
    if (fit->style->lines > 1 && wrap(fit))
        return true;
    shorten(fit);
    return false;
}

/* The bytes of a line end at `at`: a control character, or U+0085, U+2028, U+2029; 0 for anything else. */
static size_t line_end(const char *at) {
    if ((unsigned char)*at < ' ')
        return 1;
    if (strncmp(at, "\xC2\x85", 2) == 0)
        return 2;
    return strncmp(at, "\xE2\x80\xA8", 3) == 0 || strncmp(at, "\xE2\x80\xA9", 3) == 0 ? 3 : 0;
}

/* One paragraph: line ends and tabs become blanks. */
static void set_plain_text(PangoLayout *layout, const char *text) {
    char copy[1024];
    size_t length = 0;
    while (*text && length < sizeof copy - 1) {
        size_t end = line_end(text);
        copy[length++] = end > 0 ? ' ' : *text;
        text += end > 0 ? end : 1;
    }
    while (length > 0 && *text && ((unsigned char)*text & 0xC0) == 0x80) {
        text--;
        length--;
    }
    pango_layout_set_text(layout, copy, (int)length);
}

/* Puts U+FFFD for each letter that no font has, and returns how many. */
static unsigned replace_missing(PangoLayout *layout) {
    GString *shown = g_string_new(NULL);
    char *text = g_strdup(pango_layout_get_text(layout));
    unsigned missing = 0;
    for (const char *at = text; *at; at = g_utf8_next_char(at)) {
        long bytes = g_utf8_next_char(at) - at;
        pango_layout_set_text(layout, at, (int)bytes);
        bool unknown = pango_layout_get_unknown_glyphs_count(layout) > 0;
        missing += unknown;
        g_string_append_len(shown, unknown ? "\xEF\xBF\xBD" : at, unknown ? 3 : bytes);
    }
    pango_layout_set_text(layout, shown->str, (int)shown->len);
    g_string_free(shown, TRUE);
    g_free(text);
    return missing;
}

/* Where in the box, in points from its corner, the layout's own corner goes. */
static void settle(const struct fitting *fit, double *x, double *y) {
    bool by_ink = fit->style->tight || fit->logical.height > fit->height * PANGO_SCALE;
    double ink_y = (double)fit->ink.y / PANGO_SCALE, ink_height = (double)fit->ink.height / PANGO_SCALE;
    double top = by_ink ? ink_y : 0, height = by_ink ? ink_height : (double)fit->logical.height / PANGO_SCALE;
    double left = (double)fit->logical.x / PANGO_SCALE, width = (double)fit->logical.width / PANGO_SCALE;
    if (fit->style->tight) {
        left = (double)fit->ink.x / PANGO_SCALE;
        width = (double)fit->ink.width / PANGO_SCALE;
    }
    double spare_x = fit->width - width, spare_y = fit->height - height;
    *x = (fit->style->align == ALIGN_LEFT    ? 0
          : fit->style->align == ALIGN_RIGHT ? spare_x
                                             : spare_x / 2) -
         left;
    *y = (fit->style->settle == SETTLE_TOP      ? 0
          : fit->style->settle == SETTLE_BOTTOM ? spare_y
                                                : spare_y / 2) -
         top;
    /* Ink may stick out of the line's own measure (italics, accents); bring it back inside. */
    double ink_x = (double)fit->ink.x / PANGO_SCALE, ink_width = (double)fit->ink.width / PANGO_SCALE;
    *x = fmax(fmin(*x, fit->width - ink_x - ink_width), -ink_x);
    *y = fmax(fmin(*y, fit->height - ink_y - ink_height), -ink_y);
}

static PangoLayout *fit_into(struct page *page, const struct text_style *style, const char *text,
                             struct fitting *fit) {
    *fit = (struct fitting){.layout = pango_layout_new(page->context),
                            .font = style->bold ? page->bold : page->plain,
                            .style = style,
                            .width = fit->width,
                            .height = fit->height};
    set_plain_text(fit->layout, text);
    return fit->layout;
}

static struct area place(struct page *page, struct area box, const struct text_style *style, int turn,
                         const char *text) {
    struct area none = {box.x, box.y, 0, 0};
    if (page->failed || text == NULL || text[0] == '\0')
        return none;
    struct fitting fit = {.width = (turn % 2 ? box.height : box.width) / MM_PER_POINT,
                          .height = (turn % 2 ? box.width : box.height) / MM_PER_POINT};
    PangoLayout *layout = fit_into(page, style, text, &fit);
    bool whole = fit.width > 1 && fit.height > 1 && fit_text(&fit);
    if (pango_layout_get_unknown_glyphs_count(layout) > 0) {
        page->missing += replace_missing(layout);
        whole = fit_text(&fit);
    }
    struct item *item = page_item(page, ITEM_TEXT);
    if (item == NULL || (!whole && style->essential) || fit.width <= 1 || fit.height <= 1) {
        char message[200];
        snprintf(message, sizeof message, "\"%.80s\" does not fit this label; take a larger label stock.",
                 text);
        page_fail(page, "label-too-small", message);
        page->count -= item != NULL;
        g_object_unref(layout);
        return none;
    }
    double x, y;
    settle(&fit, &x, &y);
    double ink_x = (x + (double)fit.ink.x / PANGO_SCALE) * MM_PER_POINT;
    double ink_y = (y + (double)fit.ink.y / PANGO_SCALE) * MM_PER_POINT;
    double ink_width = (double)fit.ink.width / PANGO_SCALE * MM_PER_POINT;
    double ink_height = (double)fit.ink.height / PANGO_SCALE * MM_PER_POINT;
    item->box = box;
    item->layout = layout;
    item->points = fit.size;
    item->essential = style->essential;
    item->shortened = !whole;
    item->grey = style->white ? 1 : 0;
    item->turn = turn;
    x *= MM_PER_POINT;
    y *= MM_PER_POINT;
    if (turn == 1) { /* downwards: the text's x runs down, its y to the left */
        item->x = box.x + box.width - y;
        item->y = box.y + x;
        item->ink =
            (struct area){box.x + box.width - ink_y - ink_height, box.y + ink_x, ink_height, ink_width};
    } else if (turn == 3) { /* upwards: its x runs up, its y to the right */
        item->x = box.x + y;
        item->y = box.y + box.height - x;
        item->ink =
            (struct area){box.x + ink_y, box.y + box.height - ink_x - ink_width, ink_height, ink_width};
    } else {
        item->x = box.x + x;
        item->y = box.y + y;
        item->ink = (struct area){box.x + ink_x, box.y + ink_y, ink_width, ink_height};
    }
    return item->ink;
}

struct area page_text(struct page *page, struct area box, const struct text_style *style, const char *text) {
    return place(page, box, style, 0, text);
}

struct area page_text_turned(struct page *page, struct area box, const struct text_style *style, int turn,
                             const char *text) {
    return place(page, box, style, turn, text);
}

struct area page_print(struct page *page, struct area box, const struct text_style *style, const char *format,
                       ...) {
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    return place(page, box, style, 0, text);
}

double page_text_width(struct page *page, const struct text_style *style, const char *text) {
    struct fitting fit = {.width = 1e4, .height = 1e4};
    PangoLayout *layout = fit_into(page, style, text, &fit);
    measure(&fit, style->most);
    g_object_unref(layout);
    return (double)fit.logical.width / PANGO_SCALE * MM_PER_POINT;
}

double page_text_height(struct page *page, const struct text_style *style, double width, const char *text) {
    struct fitting fit = {.width = width / MM_PER_POINT, .height = 1e4};
    PangoLayout *layout = fit_into(page, style, text, &fit);
    pango_layout_set_width(layout, (int)(fit.width * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    measure(&fit, style->most);
    int height =
        fit.logical.height > fit.ink.y + fit.ink.height ? fit.logical.height : fit.ink.y + fit.ink.height;
    g_object_unref(layout);
    return (double)height / PANGO_SCALE * MM_PER_POINT;
}
