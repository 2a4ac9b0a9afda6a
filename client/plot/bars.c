/* Plots of bars: upright columns, and lying rows. SPDX-License-Identifier: Apache-2.0 */
#include "plot/canvas.h"

#include <math.h>
#include <string.h>

enum { SMALL = CANVAS_SMALL, EDGE = CANVAS_EDGE, MARKS = 5 };

static const enum shade part_shade[PLOT_PARTS] = {INK_BLACK, INK_MIDDLE, INK_LIGHT};

static double whole_of(const struct plot_item *item) {
    double sum = 0;
    for (int i = 0; i < PLOT_PARTS; i++)
        sum += item->parts[i];
    return sum;
}

static struct scale scale_of(const struct plot_item *items, size_t count) {
    double least = 0, most = 0;
    for (size_t i = 0; i < count; i++) {
        least = fmin(least, whole_of(&items[i]));
        most = fmax(most, whole_of(&items[i]));
    }
    return scale_around(least, most, MARKS);
}

/* Every how many labels stand below the columns so that none runs into the next. */
static size_t label_stride(struct plot *plot, const struct plot_item *items, size_t count, double pitch) {
    double widest = 0;
    for (size_t i = 0; i < count; i++)
        widest = fmax(widest, canvas_text_width(plot, SMALL, items[i].label));
    return (size_t)fmax(1, ceil((widest + 10) / pitch));
}

static void draw_column(struct plot *plot, const struct plot_item *item, double x, double width, double zero,
                        double unit) {
    double y = zero;
    for (int i = 0; i < PLOT_PARTS; i++) {
        double height = item->parts[i] * unit;
        canvas_box(plot, part_shade[i], x, height >= 0 ? y - height : y, width, fabs(height));
        y -= height;
    }
}

void plot_columns(struct plot *plot, const struct plot_item *items, size_t count) {
    canvas_begin(plot, CANVAS_HEIGHT);
    canvas_heading(plot);
    double top = canvas_heading_height(plot) + 30, bottom = plot->height - 46, left = EDGE + 46,
           right = plot->width - EDGE;
    struct scale scale = scale_of(items, count);
    double unit = (bottom - top) / (scale.high - scale.low), zero = bottom + scale.low * unit;
    count = count > PLOT_COLUMNS ? PLOT_COLUMNS : count;
    canvas_axis(plot, &scale, left, right, top, bottom);
    if (count == 0)
        return;
    double pitch = (right - left) / (double)count, width = fmin(46, pitch * 0.72);
    size_t stride = label_stride(plot, items, count, pitch);
    for (size_t i = 0; i < count; i++) {
        double middle = left + pitch * ((double)i + 0.5), end = zero - whole_of(&items[i]) * unit;
        draw_column(plot, &items[i], middle - width / 2, width, zero, unit);
        if (canvas_text_width(plot, SMALL, items[i].note) < pitch)
            canvas_text(plot, INK_BLACK, SMALL, false, AT_MIDDLE, middle, end - 8, 0, items[i].note);
        /* Counted from the last, which is the one people look for. */
        if ((count - 1 - i) % stride == 0)
            canvas_text(plot, INK_DARK, SMALL, false, AT_MIDDLE, middle, bottom + 14, 0, items[i].label);
    }
}

static double widest_label(struct plot *plot, const struct plot_item *items, size_t count) {
    double widest = 0;
    for (size_t i = 0; i < count; i++)
        widest = fmax(widest, canvas_text_width(plot, SMALL, items[i].label));
    return fmin(widest, plot->width * 0.42);
}

static void draw_row(struct plot *plot, const struct plot_item *item, double zero, double y, double height,
                     double unit) {
    double x = zero, end = zero + whole_of(item) * unit;
    for (int i = 0; i < PLOT_PARTS; i++) {
        double width = item->parts[i] * unit;
        canvas_box(plot, part_shade[i], width >= 0 ? x : x + width, y - height / 2, fabs(width), height);
        x += width;
    }
    canvas_text(plot, INK_BLACK, SMALL, false, AT_LEFT, fmax(zero, end) + 6, y, 0, item->note);
}

void plot_rows(struct plot *plot, const struct plot_item *items, size_t count) {
    enum { ROW = 22 };
    count = count > PLOT_ROWS ? PLOT_ROWS : count;
    double head = canvas_heading_height(plot), top = head + 24, note = 0;
    canvas_begin(plot, top + ROW * fmax(1, (double)count) + 22);
    canvas_heading(plot);
    for (size_t i = 0; i < count; i++)
        note = fmax(note, canvas_text_width(plot, SMALL, items[i].note));
    double left = EDGE + widest_label(plot, items, count) + 12, right = plot->width - EDGE - note - 8;
    struct scale scale = scale_of(items, count);
    double unit = (right - left) / (scale.high - scale.low), zero = left - scale.low * unit;
    canvas_text(plot, INK_DARK, SMALL, false, AT_LEFT, left, head + 6, 0, plot->text->axis);
    canvas_line(plot, INK_DARK, 1, zero, top - 6, zero, top + ROW * (double)count);
    for (size_t i = 0; i < count; i++) {
        double y = top + ROW * ((double)i + 0.5) - 3;
        canvas_text(plot, INK_BLACK, SMALL, false, AT_RIGHT, left - 10, y, left - 10 - EDGE, items[i].label);
        draw_row(plot, &items[i], zero, y, 13, unit);
    }
}
