/* SPDX-License-Identifier: Apache-2.0 */
#include "label/paint.h"

#include <cairo-pdf.h>
#include <stdlib.h>
#include <string.h>

#define POINTS_PER_MM (72 / 25.4)

struct paint {
    cairo_surface_t *surface;
    cairo_t *pen;
    unsigned char *bytes;
    size_t count, room;
    unsigned pages;
    bool short_of_memory;
};

static cairo_status_t take(void *closure, const unsigned char *data, unsigned length) {
    struct paint *paint = closure;
    if (paint->count + length > paint->room) {
        size_t room = (paint->count + length) * 2 + 4096;
        unsigned char *more = realloc(paint->bytes, room);
        if (more == NULL) {
            paint->short_of_memory = true;
            return CAIRO_STATUS_WRITE_ERROR;
        }
        paint->bytes = more;
        paint->room = room;
    }
    memcpy(paint->bytes + paint->count, data, length);
    paint->count += length;
    return CAIRO_STATUS_SUCCESS;
}

struct paint *paint_open(const char *title) {
    struct paint *paint = calloc(1, sizeof *paint);
    if (paint == NULL)
        return NULL;
    paint->surface = cairo_pdf_surface_create_for_stream(take, paint, 100, 100);
    /* A missing date rather than today's: the same label must give the same bytes. */
    cairo_pdf_surface_set_metadata(paint->surface, CAIRO_PDF_METADATA_CREATE_DATE, NULL);
    cairo_pdf_surface_set_metadata(paint->surface, CAIRO_PDF_METADATA_TITLE, title);
    paint->pen = cairo_create(paint->surface);
    return paint;
}

static double points(double mm) {
    return mm * POINTS_PER_MM;
}

static void trace(cairo_t *pen, struct area area) {
    cairo_rectangle(pen, points(area.x), points(area.y), points(area.width), points(area.height));
}

static void paint_text(cairo_t *pen, const struct item *item) {
    cairo_save(pen);
    if (!area_holds(item->box, item->ink, 0.01)) {
        /* Piled-up accents may leave the box; they must never reach a scan symbol. */
        trace(pen, item->box);
        cairo_clip(pen);
    }
    cairo_translate(pen, points(item->x), points(item->y));
    cairo_rotate(pen, item->turn * G_PI / 2);
    cairo_move_to(pen, 0, 0);
    pango_cairo_show_layout(pen, item->layout);
    cairo_restore(pen);
}

static void paint_outline(cairo_t *pen, const struct item *item) {
    cairo_new_path(pen);
    for (int i = 0; i < item->point_count; i++)
        cairo_line_to(pen, points(item->points_at[i].x), points(item->points_at[i].y));
    if (item->kind == ITEM_SHAPE)
        cairo_close_path(pen);
    if (item->thickness == 0) {
        cairo_fill(pen);
        return;
    }
    double dash = points(item->dash);
    cairo_set_line_width(pen, points(item->thickness));
    cairo_set_dash(pen, &dash, item->dash > 0 ? 1 : 0, 0);
    cairo_stroke(pen);
}

/* Each module a hair smaller than its dots, so that a rasteriser that blackens every touched dot adds none.
 */
static void paint_symbol(cairo_t *pen, const struct page *page, const struct item *item) {
    const double hair = 0.004;
    for (size_t i = 0; i < item->bar_count; i++)
        trace(pen, area_inset(page->bars[item->first_bar + i], hair, hair));
    cairo_set_antialias(pen, CAIRO_ANTIALIAS_NONE);
    cairo_fill(pen);
    cairo_set_antialias(pen, CAIRO_ANTIALIAS_DEFAULT);
}

void paint_page(struct paint *paint, const struct page *page) {
    cairo_t *pen = paint->pen;
    double width = points(page->width), height = points(page->height);
    cairo_pdf_surface_set_size(paint->surface, page->turned ? height : width, page->turned ? width : height);
    cairo_save(pen);
    if (page->turned) {
        cairo_translate(pen, height, 0);
        cairo_rotate(pen, G_PI / 2);
    }
    for (size_t i = 0; i < page->count; i++) {
        const struct item *item = &page->items[i];
        cairo_set_source_rgb(pen, item->grey, item->grey, item->grey);
        if (item->kind == ITEM_TEXT) {
            paint_text(pen, item);
        } else if (item->kind == ITEM_FILL) {
            trace(pen, item->ink);
            cairo_fill(pen);
        } else if (item->kind == ITEM_SYMBOL) {
            paint_symbol(pen, page, item);
        } else {
            paint_outline(pen, item);
        }
    }
    cairo_restore(pen);
    cairo_show_page(pen);
    paint->pages++;
}

bool paint_close(struct paint *paint, unsigned char **bytes, size_t *count, unsigned *pages,
                 struct fault *fault) {
    cairo_destroy(paint->pen);
    cairo_surface_finish(paint->surface);
    bool good = cairo_surface_status(paint->surface) == CAIRO_STATUS_SUCCESS && !paint->short_of_memory;
    cairo_surface_destroy(paint->surface);
    if (bytes == NULL || !good) {
        free(paint->bytes);
        if (!good && bytes != NULL)
            fault_memory(fault);
    } else {
        *bytes = paint->bytes;
        *count = paint->count;
        *pages = paint->pages;
    }
    free(paint);
    return good && bytes != NULL;
}
