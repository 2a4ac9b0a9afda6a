/* A bay in plan: the track as it runs along the wall, seen from above, room below. SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting.h"

#include <stdio.h>

/* A point of the track and where it heads, in real millimetres. */
struct step {
    double x, y, heading;
};

static struct step straight(struct step at, double length) {
    return (struct step){at.x + length * cos(at.heading), at.y + length * sin(at.heading), at.heading};
}

/* Along an arc of `length` that turns by `turn` (radians, to the right when positive). */
static struct step curve(struct step at, double length, double turn) {
    if (fabs(turn) < 1e-9)
        return straight(at, length);
    double radius = length / turn, after = at.heading + turn;
    return (struct step){at.x + radius * (sin(after) - sin(at.heading)),
                         at.y - radius * (cos(after) - cos(at.heading)), after};
}

static double turn_of(const struct fitting *fitting, size_t bend) {
    return (180 - fitting->bends[bend].angle) * G_PI / 180;
}

/* The place on the track at `target` mm from its left end. */
static struct step walk(const struct fitting *fitting, struct step at, double target) {
    double gone = 0;
    for (size_t i = 0; i < fitting->bend_count; i++) {
        double length = (double)fitting->bends[i].length / 10;
        double begin = (double)fitting->bends[i].from_left / 10 - length / 2;
        if (target <= begin)
            break;
        at = straight(at, begin - gone);
        double part = fmin(length, target - begin);
        at = curve(at, part, length > 0 ? turn_of(fitting, i) * part / length : turn_of(fitting, i));
        gone = begin + part;
    }
    return straight(at, target - gone);
}

/* The extent of the track for a start at the origin. */
static struct area extent(const struct fitting *fitting, struct step start) {
    double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
    for (int i = 0; i <= 200; i++) {
        struct step at = walk(fitting, start, (double)fitting->overall / 10 * i / 200);
        left = fmin(left, at.x);
        right = fmax(right, at.x);
        top = fmin(top, at.y);
        bottom = fmax(bottom, at.y);
    }
    return (struct area){left, top, right - left, bottom - top};
}

static void draw_number(struct page *page, double x, double y, size_t number, bool join) {
    static const struct text_style style = {
        .most = 7.5, .least = 4, .bold = true, .tight = true, .align = ALIGN_CENTRE};
    char text[24];
    struct area box = {x - 2.1, y - 2.1, 4.2, 4.2};
    struct text_style shown = style;
    shown.white = join;
    snprintf(text, sizeof text, "%zu", number);
    page_fill(page, box, join ? 0 : 1);
    page_frame(page, box, 0.3);
    page_text(page, area_inset(box, 0.6, 0.8), &shown, text);
}

void fitting_draw_plan(struct page *page, struct area box, const struct fitting *fitting) {
    static const struct text_style word = {.most = 8.5, .least = 6.5, .align = ALIGN_CENTRE};
    double all = 0, wall = 90;
    for (size_t i = 0; i < fitting->bend_count; i++)
        all += turn_of(fitting, i);
    struct step start = {0, 0, -all / 2};
    struct area size = extent(fitting, start);
    struct area drawing = area_inset(box, 8, 10);
    double scale = fmin(drawing.width / size.width, drawing.height / fmax(size.height + wall, 1));
    double x0 = drawing.x + (drawing.width - size.width * scale) / 2 - size.x * scale;
    double y0 = drawing.y + (drawing.height - size.height * scale) / 2 - size.y * scale;
    struct step before = start;
    int steps = 160;
    for (int i = 1; i <= steps; i++) {
        struct step at = walk(fitting, start, (double)fitting->overall / 10 * i / steps);
        page_line(page, x0 + before.x * scale, y0 + before.y * scale, x0 + at.x * scale, y0 + at.y * scale, 1,
                  0);
        /* The wall behind it, a hand's breadth away. */
        page_line(page, x0 + (before.x + wall * sin(before.heading)) * scale,
                  y0 + (before.y - wall * cos(before.heading)) * scale,
                  x0 + (at.x + wall * sin(at.heading)) * scale, y0 + (at.y - wall * cos(at.heading)) * scale,
                  0.2, 0);
        before = at;
    }
    for (size_t i = 0; i < fitting->mark_count; i++) {
        struct step at = walk(fitting, start, (double)fitting->marks[i].from_left / 10);
        double x = x0 + at.x * scale, y = y0 + at.y * scale;
        double back_x = x + wall * sin(at.heading) * scale, back_y = y - wall * cos(at.heading) * scale;
        page_line(page, x, y, back_x, back_y, 0.5, 0);
        draw_number(page, x - 4 * sin(at.heading), y + 4 * cos(at.heading), i + 1, fitting->marks[i].join);
    }
    for (size_t i = 0; i < fitting->bend_count; i++) {
        struct step at = walk(fitting, start, (double)fitting->bends[i].from_left / 10);
        double x = x0 + (at.x + 230 * sin(at.heading)) * scale,
               y = y0 + (at.y - 230 * cos(at.heading)) * scale;
        page_print(page, (struct area){x - 8, y - 2, 16, 4}, &word, "%g°", fitting->bends[i].angle);
    }
    page_text(page, area_bottom(&box, 5), &word, "seen from above, room below; to scale");
}
