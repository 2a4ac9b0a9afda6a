/* SPDX-License-Identifier: Apache-2.0 */
#include "plot/canvas.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double grey[] = {
    [INK_BLACK] = 0.10, [INK_DARK] = 0.36, [INK_MIDDLE] = 0.58, [INK_LIGHT] = 0.80, [INK_RULE] = 0.90};

static void take_ink(struct plot *plot, enum shade shade) {
    cairo_set_source_rgb(plot->cairo, grey[shade], grey[shade], grey[shade]);
}

static void set_text(struct plot *plot, double size, bool bold, double room, const char *text) {
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, "DejaVu Sans, Noto Sans, sans-serif");
    pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
    pango_layout_set_font_description(plot->layout, font);
    pango_font_description_free(font);
    pango_layout_set_ellipsize(plot->layout, room > 0 ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
    pango_layout_set_width(plot->layout, room > 0 ? (int)(room * PANGO_SCALE) : -1);
    pango_layout_set_text(plot->layout, text, -1);
}

double canvas_text_width(struct plot *plot, double size, const char *text) {
    int width;
    set_text(plot, size, false, 0, text);
    pango_layout_get_size(plot->layout, &width, NULL);
    return (double)width / PANGO_SCALE;
}

void canvas_text(struct plot *plot, enum shade shade, double size, bool bold, enum place_at at, double x,
                 double y, double room, const char *text) {
    PangoRectangle logical;
    set_text(plot, size, bold, room, text);
    pango_layout_get_extents(plot->layout, NULL, &logical);
    double width = (double)logical.width / PANGO_SCALE, height = (double)logical.height / PANGO_SCALE;
    double left = at == AT_LEFT ? x : at == AT_MIDDLE ? x - width / 2 : x - width;
    take_ink(plot, shade);
    cairo_move_to(plot->cairo, left - (double)logical.x / PANGO_SCALE, y - height / 2);
    pango_cairo_show_layout(plot->cairo, plot->layout);
}

void canvas_box(struct plot *plot, enum shade shade, double x, double y, double width, double height) {
    take_ink(plot, shade);
    cairo_rectangle(plot->cairo, x, y, width, height);
    cairo_fill(plot->cairo);
}

void canvas_line(struct plot *plot, enum shade shade, double width, double x1, double y1, double x2,
                 double y2) {
    take_ink(plot, shade);
    cairo_set_line_width(plot->cairo, width);
    cairo_move_to(plot->cairo, x1, y1);
    cairo_line_to(plot->cairo, x2, y2);
    cairo_stroke(plot->cairo);
}

void canvas_dashes(struct plot *plot, bool dashed) {
    static const double dashes[] = {4, 3};
    cairo_set_dash(plot->cairo, dashes, dashed ? 2 : 0, 0);
}

double canvas_heading_height(const struct plot *plot) {
    return plot->text->parts[0] == NULL ? 72 : 96;
}

void canvas_heading(struct plot *plot) {
    const struct plot_text *text = plot->text;
    double x = 28, y = 80;
    canvas_text(plot, INK_BLACK, 17, true, AT_LEFT, x, 30, plot->width - 2 * x, text->title);
    canvas_text(plot, INK_DARK, 11.5, false, AT_LEFT, x, 52, plot->width - 2 * x, text->subtitle);
    for (int i = 0; i < PLOT_PARTS && text->parts[i] != NULL; i++) {
        canvas_box(plot, i == 0 ? INK_BLACK : i == 1 ? INK_MIDDLE : INK_LIGHT, x, y - 5, 10, 10);
        canvas_text(plot, INK_DARK, 11.5, false, AT_LEFT, x + 15, y, 0, text->parts[i]);
        x += 15 + canvas_text_width(plot, 11.5, text->parts[i]) + 22;
    }
}

struct scale scale_around(double least, double most, int marks) {
    double low = fmin(0, least), high = fmax(0, most);
    if (!(high - low > 0))
        high = low + 1;
    double rough = (high - low) / marks, power = pow(10, floor(log10(rough))), share = rough / power;
    double step = power * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
    return (struct scale){floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step, step};
}

void scale_text(const struct scale *scale, double value, char text[PLOT_NOTE]) {
    char plain[PLOT_NOTE];
    int decimals = scale->step >= 1 ? 0 : (int)ceil(-log10(scale->step) - 1e-9);
    snprintf(plain, sizeof plain, "%.*f", decimals, fabs(value) < scale->step / 1000 ? 0 : value);
    size_t whole = strcspn(plain, "."), digits = plain[0] == '-' ? whole - 1 : whole, used = 0;
    for (size_t i = 0; plain[i] != '\0' && used + 6 < PLOT_NOTE; i++) {
        if (i > (plain[0] == '-') && i < whole && (whole - i) % 3 == 0 && digits > 4) {
            memcpy(text + used, "\u2009", 3);
            used += 3;
        }
        if (plain[i] == '-') {
            memcpy(text + used, "\u2212", 3);
            used += 3;
        } else {
            text[used++] = plain[i];
        }
    }
    text[used] = '\0';
}

void canvas_axis(struct plot *plot, const struct scale *scale, double left, double right, double top,
                 double bottom) {
    char figure[PLOT_NOTE];
    double unit = (bottom - top) / (scale->high - scale->low);
    int marks = (int)lround((scale->high - scale->low) / scale->step);
    for (int i = 0; i <= marks; i++) {
        double value = scale->low + i * scale->step, y = bottom - (value - scale->low) * unit;
        bool zero = fabs(value) < scale->step / 2;
        canvas_line(plot, zero ? INK_DARK : INK_RULE, zero ? 1 : 0.75, left, y, right, y);
        scale_text(scale, value, figure);
        canvas_text(plot, INK_DARK, CANVAS_SMALL, false, AT_RIGHT, left - 7, y, 0, figure);
    }
    canvas_text(plot, INK_DARK, CANVAS_SMALL, false, AT_LEFT, CANVAS_EDGE, top - 20, 0, plot->text->axis);
}
