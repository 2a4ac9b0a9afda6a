/* A stock over the weeks to come. SPDX-License-Identifier: Apache-2.0 */
#include "plot/canvas.h"

#include <math.h>
#include <stdio.h>

enum { SMALL = CANVAS_SMALL, EDGE = CANVAS_EDGE, MARKS = 6 };

struct frame {
    double left, right, top, bottom, pitch, zero, unit;
};

static double height_of(const struct frame *frame, double value) {
    return frame->zero - value * frame->unit;
}

static void draw_weeks(struct plot *plot, const struct frame *frame, const struct plot_week *weeks,
                       size_t count) {
    size_t stride = (size_t)ceil((canvas_text_width(plot, SMALL, "2000-00-00") + 10) / frame->pitch);
    for (size_t i = 0; i < count; i++) {
        double x = frame->left + frame->pitch * (double)i;
        if (i % stride != 0)
            continue;
        canvas_line(plot, INK_MIDDLE, 0.75, x, frame->bottom, x, frame->bottom + 4);
        if (x + 30 < plot->width)
            canvas_text(plot, INK_DARK, SMALL, false, AT_MIDDLE, x, frame->bottom + 14, 0, weeks[i].week);
    }
}

/* What comes in stands as a light column on the line at which it finds the stock. */
static void draw_steps(struct plot *plot, const struct frame *frame, double start,
                       const struct plot_week *weeks, size_t count) {
    char note[PLOT_NOTE];
    double before = start;
    for (size_t i = 0; i < count; i++) {
        double x = frame->left + frame->pitch * (double)i, from = height_of(frame, before);
        if (weeks[i].coming > 0) {
            double rise = weeks[i].coming * frame->unit;
            canvas_box(plot, INK_LIGHT, x, from - rise, frame->pitch, rise);
            snprintf(note, sizeof note, "+%.6g", weeks[i].coming);
            canvas_text(plot, INK_DARK, SMALL, false, AT_MIDDLE, x + frame->pitch / 2, from - rise - 8, 0,
                        note);
        }
        before = weeks[i].stock;
    }
    before = start;
    for (size_t i = 0; i < count; i++) {
        double x = frame->left + frame->pitch * (double)i, y = height_of(frame, weeks[i].stock);
        canvas_line(plot, INK_BLACK, 2, x, height_of(frame, before), x, y);
        canvas_line(plot, INK_BLACK, 2, x - 1, y, x + frame->pitch + 1, y);
        before = weeks[i].stock;
    }
}

static size_t first_below(double line, const struct plot_week *weeks, size_t count) {
    size_t i = 0;
    while (i < count && weeks[i].stock >= line)
        i++;
    return i;
}

static void draw_warning(struct plot *plot, const struct frame *frame, const struct plot_week *weeks,
                         size_t count, double line, const char *what, double drop) {
    char note[PLOT_LABEL];
    size_t at = first_below(line, weeks, count);
    if (at == count)
        return;
    double x = frame->left + frame->pitch * ((double)at + 0.5), y = height_of(frame, weeks[at].stock);
    snprintf(note, sizeof note, "%s from the week of %s", what, weeks[at].week);
    double width = canvas_text_width(plot, SMALL, note);
    cairo_new_path(plot->cairo);
    cairo_set_source_rgb(plot->cairo, 1, 1, 1);
    cairo_arc(plot->cairo, x, y, 4, 0, 2 * M_PI);
    cairo_fill_preserve(plot->cairo);
    cairo_set_source_rgb(plot->cairo, 0.1, 0.1, 0.1);
    cairo_set_line_width(plot->cairo, 1.5);
    cairo_stroke(plot->cairo);
    double text_x = fmin(x + 10, frame->right - width);
    canvas_line(plot, INK_MIDDLE, 0.75, x, y - 5, x, frame->top + drop + 8);
    canvas_text(plot, INK_BLACK, SMALL, true, AT_LEFT, text_x, frame->top + drop, 0, note);
}

/* Some weeks after it has run out nothing more is told. */
static size_t worth_showing(const struct plot_week *weeks, size_t count) {
    enum { LEAST = 12, AFTER = 4 };
    size_t out = first_below(0, weeks, count) + AFTER;
    return out < LEAST && LEAST < count ? LEAST : out < count && out >= LEAST ? out : count;
}

void plot_outlook(struct plot *plot, double start, double safety, const struct plot_week *weeks,
                  size_t count) {
    double least = fmin(start, safety), most = fmax(start, safety), before = start;
    count = worth_showing(weeks, count > PLOT_COLUMNS ? PLOT_COLUMNS : count);
    for (size_t i = 0; i < count; i++) {
        least = fmin(least, weeks[i].stock);
        most = fmax(most, fmax(weeks[i].stock, before + weeks[i].coming));
        before = weeks[i].stock;
    }
    canvas_begin(plot, CANVAS_HEIGHT);
    canvas_heading(plot);
    struct scale scale = scale_around(least, most + (most - least) * 0.12, MARKS);
    struct frame frame = {.left = EDGE + 46,
                          .right = plot->width - EDGE - 90,
                          .top = canvas_heading_height(plot) + 30,
                          .bottom = plot->height - 46};
    frame.pitch = (frame.right - frame.left) / (count > 0 ? (double)count : 1);
    frame.unit = (frame.bottom - frame.top) / (scale.high - scale.low);
    frame.zero = frame.bottom + scale.low * frame.unit;
    canvas_axis(plot, &scale, frame.left, frame.right, frame.top, frame.bottom);
    draw_weeks(plot, &frame, weeks, count);
    draw_steps(plot, &frame, start, weeks, count);
    double y = height_of(&frame, safety);
    canvas_dashes(plot, true);
    canvas_line(plot, INK_DARK, 1, frame.left, y, frame.right, y);
    canvas_dashes(plot, false);
    canvas_text(plot, INK_DARK, SMALL, false, AT_LEFT, frame.right + 6, y, 0, "safety stock");
    if (count > 0 && fabs(height_of(&frame, weeks[count - 1].stock) - y) > 14)
        canvas_text(plot, INK_BLACK, SMALL, false, AT_LEFT, frame.right + 6,
                    height_of(&frame, weeks[count - 1].stock), 0, "stock");
    if (first_below(safety, weeks, count) < first_below(0, weeks, count))
        draw_warning(plot, &frame, weeks, count, safety, "below safety stock", 9);
    draw_warning(plot, &frame, weeks, count, 0, "out of stock", 25);
}
