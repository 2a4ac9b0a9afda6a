/* Small pictures beside the steps of a fitting sheet: what words say badly. SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting.h"

static const double thin = 0.2, line = 0.35, thick = 0.7;

static void arrow(struct page *page, double x1, double y1, double x2, double y2) {
    double length = hypot(x2 - x1, y2 - y1), along_x = (x2 - x1) / length, along_y = (y2 - y1) / length;
    double neck_x = x2 - 2.2 * along_x, neck_y = y2 - 2.2 * along_y;
    const double head[] = {x2,
                           y2,
                           neck_x - 0.9 * along_y,
                           neck_y + 0.9 * along_x,
                           neck_x + 0.9 * along_y,
                           neck_y - 0.9 * along_x};
    page_line(page, x1, y1, neck_x, neck_y, line, 0);
    page_shape(page, head, 3, 0, 0);
}

static void circle(struct page *page, double x, double y, double radius, double thickness) {
    enum { SIDES = 28 };
    for (int i = 0; i < SIDES; i++) {
        double from = 2 * G_PI * i / SIDES, to = 2 * G_PI * (i + 1) / SIDES;
        page_line(page, x + radius * cos(from), y + radius * sin(from), x + radius * cos(to),
                  y + radius * sin(to), thickness, 0);
    }
}

/* A wall or ceiling seen on edge, with strokes on its far side. */
static void upright_wall(struct page *page, double x, double top, double bottom) {
    page_line(page, x, top, x, bottom, thick, 0);
    for (int i = 0; top + 2 + 3 * i < bottom; i++)
        page_line(page, x, top + 2 + 3 * i, x - 2, top + 3.6 + 3 * i, thin, 0);
}

static void level_ceiling(struct page *page, double y, double left, double right) {
    page_line(page, left, y, right, y, thick, 0);
    for (int i = 0; left + 2 + 3 * i < right; i++)
        page_line(page, left + 2 + 3 * i, y, left + 3.6 + 3 * i, y - 2, thin, 0);
}

/* Running dimensions: every figure starts at the midpoint. */
static void draw_measuring(struct page *page, struct area box) {
    static const double steps[] = {0.26, 0.56, 0.88};
    static const char *const names[] = {"a", "b", "c"};
    double middle = box.x + box.width * 0.12, y = box.y + 5;
    page_line(page, box.x, y, box.x + box.width, y, line, 0);
    page_line(page, middle, y - 4, middle, box.y + box.height - 1, thin, 1.2);
    for (int i = 0; i < 3; i++) {
        double x = box.x + box.width * steps[i] + box.width * 0.08, level = y + 7.5 + 6.5 * i;
        page_fill(page, (struct area){x - 0.9, y - 2.2, 1.8, 4.4}, 0);
        page_line(page, x, y + 2.4, x, level + 1.2, thin, 0);
        draw_across(page, middle, x, level, names[i]);
    }
}

/* From the side: bracket on the wall or ceiling, and the track that clicks in from below. */
static void draw_clicking(struct page *page, struct area box, bool top) {
    double x = box.x + box.width * 0.34, y = box.y + 7;
    if (top) {
        level_ceiling(page, box.y + 3, x - 14, x + 18);
        page_fill(page, (struct area){x - 3.5, box.y + 3, 7, 4}, 0);
    } else {
        upright_wall(page, x - 9, box.y, box.y + box.height - 2);
        page_fill(page, (struct area){x - 9, y - 3.5, 2.2, 9}, 0);
        page_fill(page, (struct area){x - 7, y - 2, 11, 2.2}, 0);
    }
    page_frame(page, (struct area){x - 3.5, y + 11, 7, 5.5}, line);
    page_line(page, x - 1.2, y + 16.5, x + 1.2, y + 16.5, thick, 0);
    arrow(page, x, y + 10.2, x, y + 3);
}

/* The loop straight down from its pulley, held by the tension pulley with two screws. */
static void draw_pulley(struct page *page, struct area box, bool left) {
    double x = box.x + box.width * 0.4, top = box.y + 3, bottom = box.y + box.height - 7;
    double end = left ? 1 : -1;
    page_fill(page, (struct area){left ? x - 3 : x - 22, top - 1.4, 25, 2.8}, 0);
    page_line(page, x - 1.4, top, x - 1.4, bottom, line, 0);
    page_line(page, x + 1.4, top, x + 1.4, bottom, line, 0);
    circle(page, x, bottom, 1.4, line);
    page_frame(page, (struct area){x - 3, bottom - 3.4, 6, 9}, line);
    page_line(page, x, top - 3, x, box.y + box.height + 0.5, thin, 1.2);
    circle(page, x - 1.7, bottom + 4.2, 0.6, line);
    circle(page, x + 1.7, bottom + 4.2, 0.6, line);
    arrow(page, x + 9 * end, bottom + 4.2, x + 3.6 * end, bottom + 4.2);
}

void fitting_draw_pictures(struct flow *flow, const struct fitting *fitting) {
    static const struct text_style words = {.most = 8.5, .least = 7, .lines = 3, .settle = SETTLE_TOP};
    struct area strip = flow_take(flow, 44);
    double width = (strip.width - 16) / 3;
    for (int i = 0; i < 3; i++) {
        struct area panel = area_left(&strip, width);
        area_left(&strip, 8);
        struct area caption = area_bottom(&panel, 12), drawing = area_inset(panel, 2, 2);
        if (i == 0) {
            draw_measuring(&flow->page, drawing);
            page_text(&flow->page, caption, &words,
                      "Every mark by its own figure from the midpoint: a, b, c. Never from one to the next.");
        } else if (i == 1) {
            draw_clicking(&flow->page, drawing, fitting->top);
            page_text(&flow->page, caption, &words,
                      "Click the track in from below, bracket by bracket, and pull at each.");
        } else if (fitting->corded) {
            draw_pulley(&flow->page, drawing, fitting->control == CONTROL_CORD_LEFT);
            page_text(&flow->page, caption, &words,
                      "Tension pulley straight below the loop, on its own two screws; the cord is taut.");
        }
    }
}
