/* What the kinds of plots share: the page, its text, and its scales. Lengths are points (1/72 inch).
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_PLOT_CANVAS_H
#define ELLWAND_CLIENT_PLOT_CANVAS_H

#include "plot/plot.h"

#include <pango/pangocairo.h>
#include <stdbool.h>

/* Ink, from black to hardly there. */
enum shade { INK_BLACK, INK_DARK, INK_MIDDLE, INK_LIGHT, INK_RULE };

struct plot {
    char *path;
    const struct plot_text *text;
    double width, height;
    cairo_surface_t *file; /* from canvas_begin on */
    cairo_t *cairo;
    PangoLayout *layout;
};

enum place_at { AT_LEFT, AT_MIDDLE, AT_RIGHT };

/* One line of text whose baseline box is centred on `y`, at `x` by its left end, middle or right end. Cut with an ellipsis to
 * `room` points when that is above 0. */
void canvas_text(struct plot *plot, enum shade shade, double size, bool bold, enum place_at at, double x,
                 double y, double room, const char *text);
double canvas_text_width(struct plot *plot, double size, const char *text);

void canvas_box(struct plot *plot, enum shade shade, double x, double y, double width, double height);
void canvas_line(struct plot *plot, enum shade shade, double width, double x1, double y1, double x2,
                 double y2);
void canvas_dashes(struct plot *plot, bool dashed);

/* Every kind of plot begins so: the page of that height, white. */
void canvas_begin(struct plot *plot, double height);

enum { CANVAS_SMALL = 11, CANVAS_EDGE = 28 }; /* size of small text; what stays free at the sides */
enum { CANVAS_HEIGHT = 460 };                 /* of a plot that does not grow with its items */

/* How much of the page the heading takes; and the heading: title, subtitle, and what the parts are. */
double canvas_heading_height(const struct plot *plot);
void canvas_heading(struct plot *plot);

/* A scale from `low` to `high` of round figures about the values' least and most; `step` between its marks. */
struct scale {
    double low, high, step;
};
struct scale scale_around(double least, double most, int marks);
/* A value of the scale as its axis writes it: thousands parted by a thin space, no more decimals than the step has. */
void scale_text(const struct scale *scale, double value, char text[PLOT_NOTE]);
/* Marks across the frame with their figures at its left, and the name of the axis above them. */
void canvas_axis(struct plot *plot, const struct scale *scale, double left, double right, double top,
                 double bottom);

#endif
