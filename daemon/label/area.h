/* Rectangles in millimetres, x to the right and y down, and cutting strips off them: the way every layout
 * here is made. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_AREA_H
#define ELLWAND_LABEL_AREA_H

#include <math.h>
#include <stdbool.h>

struct area {
    double x, y, width, height;
};

/* Each cuts a strip off `rest` and returns it; never more than is left. */
static inline struct area area_top(struct area *rest, double height) {
    height = fmin(height, rest->height);
    struct area strip = {rest->x, rest->y, rest->width, height};
    rest->y += height;
    rest->height -= height;
    return strip;
}

static inline struct area area_bottom(struct area *rest, double height) {
    height = fmin(height, rest->height);
    rest->height -= height;
    return (struct area){rest->x, rest->y + rest->height, rest->width, height};
}

static inline struct area area_left(struct area *rest, double width) {
    width = fmin(width, rest->width);
    struct area strip = {rest->x, rest->y, width, rest->height};
    rest->x += width;
    rest->width -= width;
    return strip;
}

static inline struct area area_right(struct area *rest, double width) {
    width = fmin(width, rest->width);
    rest->width -= width;
    return (struct area){rest->x + rest->width, rest->y, width, rest->height};
}

/* The area without a margin of `dx` at the sides and `dy` above and below. */
static inline struct area area_inset(struct area area, double dx, double dy) {
    return (struct area){area.x + dx, area.y + dy, fmax(0, area.width - 2 * dx),
                         fmax(0, area.height - 2 * dy)};
}

/* True when `inner` lies in `outer`, give or take `slack`. */
static inline bool area_holds(struct area outer, struct area inner, double slack) {
    return inner.x >= outer.x - slack && inner.y >= outer.y - slack &&
           inner.x + inner.width <= outer.x + outer.width + slack &&
           inner.y + inner.height <= outer.y + outer.height + slack;
}

/* True when the two share more than `slack` in both directions. */
static inline bool area_overlaps(struct area a, struct area b, double slack) {
    return fmin(a.x + a.width, b.x + b.width) - fmax(a.x, b.x) > slack &&
           fmin(a.y + a.height, b.y + b.height) - fmax(a.y, b.y) > slack;
}

#endif
