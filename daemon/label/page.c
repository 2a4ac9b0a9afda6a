/* SPDX-License-Identifier: Apache-2.0 */
#include "label/page.h"

#include "label/place.h"

#include <stdlib.h>
#include <string.h>

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define __SANITIZE_ADDRESS__ 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__)
/* Fontconfig keeps its tables for the life of the program and Pango's thread holds some of them past the end,
 * so the leak checker would report them. What leaks through any other road is still found. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
    return "leak:libfontconfig\n";
}
#endif

bool page_open(struct page *page, struct fault *fault) {
    *page = (struct page){.fault = fault};
    page->context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    /* Widths that do not depend on the size, and the same answer whatever the locale and desktop settings. */
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(page->context, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(page->context, 72);
    pango_context_set_language(page->context, pango_language_from_string("en"));
    pango_context_set_round_glyph_positions(page->context, FALSE);
    page->plain = pango_font_description_from_string("DejaVu Sans");
    page->bold = pango_font_description_from_string("DejaVu Sans Bold");
    return true;
}

void page_begin(struct page *page, double width, double height) {
    for (size_t i = 0; i < page->count; i++)
        if (page->items[i].layout != NULL)
            g_object_unref(page->items[i].layout);
    page->count = page->bar_count = 0;
    page->width = width;
    page->height = height;
    page->turned = false;
}

void page_close(struct page *page) {
    page_begin(page, 0, 0);
    free(page->items);
    free(page->bars);
    pango_font_description_free(page->plain);
    pango_font_description_free(page->bold);
    g_object_unref(page->context);
    page->items = NULL;
    page->bars = NULL;
}

bool page_good(const struct page *page) {
    return !page->failed;
}

void page_fail(struct page *page, const char *code, const char *message) {
    if (!page->failed)
        fault_set(page->fault, code, "", "%s", message);
    page->failed = true;
}

static void *grow(struct page *page, void *array, size_t *room, size_t wanted, size_t size) {
    if (wanted <= *room)
        return array;
    size_t more = wanted + *room + 32;
    void *grown = realloc(array, more * size);
    if (grown == NULL) {
        if (!page->failed)
            fault_memory(page->fault);
        page->failed = true;
        return array;
    }
    *room = more;
    return grown;
}

struct item *page_item(struct page *page, enum item_kind kind) {
    if (!page->failed)
        page->items = grow(page, page->items, &page->room, page->count + 1, sizeof *page->items);
    if (page->failed)
        return NULL;
    struct item *item = &page->items[page->count++];
    *item = (struct item){.kind = kind};
    return item;
}

void page_fill(struct page *page, struct area area, double grey) {
    struct item *item = page_item(page, ITEM_FILL);
    if (item == NULL)
        return;
    item->box = item->ink = area;
    item->grey = grey;
}

void page_line(struct page *page, double x1, double y1, double x2, double y2, double thickness, double dash) {
    struct item *item = page_item(page, ITEM_LINE);
    if (item == NULL)
        return;
    item->thickness = thickness;
    item->dash = dash;
    item->point_count = 2;
    item->points_at[0].x = x1;
    item->points_at[0].y = y1;
    item->points_at[1].x = x2;
    item->points_at[1].y = y2;
    item->ink = (struct area){fmin(x1, x2) - thickness / 2, fmin(y1, y2) - thickness / 2,
                              fabs(x2 - x1) + thickness, fabs(y2 - y1) + thickness};
    item->box = item->ink;
}

void page_frame(struct page *page, struct area area, double thickness) {
    double half = thickness / 2;
    struct area line = area_inset(area, half, half);
    const double corners[] = {line.x,
                              line.y,
                              line.x + line.width,
                              line.y,
                              line.x + line.width,
                              line.y + line.height,
                              line.x,
                              line.y + line.height};
    page_shape(page, corners, 4, thickness, 0);
}

void page_shape(struct page *page, const double *xy, int count, double thickness, double grey) {
    struct item *item = page_item(page, ITEM_SHAPE);
    if (item == NULL)
        return;
    double left = xy[0], right = xy[0], top = xy[1], bottom = xy[1];
    for (int i = 0; i < count; i++, xy += 2) {
        item->points_at[i].x = xy[0];
        item->points_at[i].y = xy[1];
        left = fmin(left, xy[0]);
        right = fmax(right, xy[0]);
        top = fmin(top, xy[1]);
        bottom = fmax(bottom, xy[1]);
    }
    item->point_count = count;
    item->thickness = thickness;
    item->grey = grey;
    double half = thickness / 2;
    item->ink = item->box =
        (struct area){left - half, top - half, right - left + thickness, bottom - top + thickness};
}

/* The next whole dot of the printer at or after `at`. */
static double on_dot(double at, double dot) {
    return ceil(at / dot - 1e-6) * dot;
}

struct area page_symbol(struct page *page, struct area box, enum symbology symbology, const char *content) {
    struct symbol symbol;
    struct area none = {box.x, box.y, 0, 0};
    if (page->failed)
        return none;
    if (!symbol_make(symbology, content, &symbol, page->fault)) {
        page->failed = true;
        return none;
    }
    double dot = symbol_dot(page->dots_per_inch);
    double x = on_dot(box.x, dot), y = on_dot(box.y, dot);
    double width = box.width - (x - box.x), height = box.height - (y - box.y);
    double module = symbol_module(&symbol, page->dots_per_inch, width, height);
    if (module == 0) {
        page_fail(page, "label-too-small",
                  "The scan symbol does not fit this label; take a larger label stock.");
        return none;
    }
    page->bars = grow(page, page->bars, &page->bar_room, page->bar_count + symbol.count, sizeof *page->bars);
    struct item *item = page_item(page, ITEM_SYMBOL);
    if (item == NULL)
        return none;
    bool matrix = symbology == SYMBOL_DATA_MATRIX;
    double row = matrix ? module : floor(height / dot) * dot;
    item->box = (struct area){x, y, (symbol.columns + 2 * symbol.quiet_x) * module,
                              matrix ? (symbol.rows + 2 * symbol.quiet_y) * module : row};
    item->ink = area_inset(item->box, symbol.quiet_x * module, symbol.quiet_y * module);
    item->first_bar = page->bar_count;
    item->bar_count = (size_t)symbol.count;
    for (int i = 0; i < symbol.count; i++)
        page->bars[page->bar_count++] =
            (struct area){item->ink.x + symbol.bars[i].x * module, item->ink.y + symbol.bars[i].y * row,
                          symbol.bars[i].width * module, symbol.bars[i].height * row};
    return item->box;
}
