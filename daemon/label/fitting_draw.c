/* The drawings of a fitting sheet. SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting.h"

#include <stdio.h>
#include <stdlib.h>

static const double thin = 0.15, line = 0.3, thick = 0.6;

static const struct text_style figure = {.most = 8.5, .least = 6.5, .essential = true, .align = ALIGN_CENTRE};

static double real_mm(ell_length length) {
    return (double)length / 10;
}

/* A short slanting stroke where a dimension line ends. */
static void tick(struct page *page, double x, double y) {
    page_line(page, x - 0.9, y + 0.9, x + 0.9, y - 0.9, line, 0);
}

void draw_across(struct page *page, double x1, double x2, double y, const char *text) {
    double middle = (x1 + x2) / 2, half = page_text_width(page, &figure, text) / 2 + 1;
    page_line(page, x1, y, x2, y, thin, 0);
    tick(page, x1, y);
    tick(page, x2, y);
    struct area box = {middle - half, y - 3.9, 2 * half, 3.5};
    page_fill(page, box, 1);
    page_text(page, box, &figure, text);
}

void draw_upright(struct page *page, double x, double y1, double y2, const char *text) {
    double middle = (y1 + y2) / 2, half = page_text_width(page, &figure, text) / 2 + 1;
    page_line(page, x, y1, x, y2, thin, 0);
    tick(page, x, y1);
    tick(page, x, y2);
    page_text_turned(page, (struct area){x - 3.9, middle - half, 3.5, 2 * half}, &figure, 3, text);
}

/* ---- the marks ---- */

static const double pieces_row = 5.6; /* mm that the lengths of pieces take below the others */

/* The track stretched over the width: x of a length from its left end. */
struct stretch {
    double x, scale;
};

static double along(struct stretch stretch, ell_length from_left) {
    return stretch.x + real_mm(from_left) * stretch.scale;
}

/* A running dimension at a mark: a leader away from the track and the figure, upright where marks stand close. */
static void draw_figure(struct page *page, double x, double from, double to, double upright,
                        const char *text) {
    bool up = to < from;
    page_line(page, x, from, x, to, thin, 0);
    if (upright > 0)
        page_text_turned(page, (struct area){x - 1.9, up ? to - upright - 0.5 : to + 0.5, 3.8, upright},
                         &figure, 3, text);
    else
        page_text(page, (struct area){x - 6, up ? to - 4.2 : to + 0.4, 12, 3.8}, &figure, text);
}

static void draw_mark(struct page *page, double x, double y, size_t number, bool join) {
    static const struct text_style white = {
        .most = 7.5, .least = 4, .bold = true, .tight = true, .white = true, .align = ALIGN_CENTRE};
    static const struct text_style black = {
        .most = 7.5, .least = 4, .bold = true, .tight = true, .align = ALIGN_CENTRE};
    char text[24];
    struct area box = {x - 2.1, y - 2.4, 4.2, 4.8};
    snprintf(text, sizeof text, "%zu", number);
    page_fill(page, box, join ? 0 : 1);
    page_frame(page, box, line);
    page_text(page, area_inset(box, 0.6, 1), join ? &white : &black, text);
}

/* How long figures are that stand upright: where marks stand close, and in inches always; 0 where they lie. */
static double upright_length(const struct fitting *fitting, struct stretch stretch) {
    if (fitting->unit == UNIT_INCH)
        return 18.5;
    for (size_t i = 1; i < fitting->mark_count; i++)
        if (real_mm(fitting->marks[i].from_left - fitting->marks[i - 1].from_left) * stretch.scale < 12)
            return 12.5;
    return 0;
}

static void draw_track(struct page *page, const struct fitting *fitting, struct stretch stretch, double y) {
    double left = along(stretch, 0), right = along(stretch, fitting->overall);
    page_frame(page, (struct area){left, y - 1.2, right - left, 2.4}, line);
    for (size_t i = 0; i < fitting->bend_count; i++) {
        ell_length half = fitting->bends[i].length / 2;
        double from = along(stretch, fitting->bends[i].from_left - half),
               to = along(stretch, fitting->bends[i].from_left + half);
        for (int j = 0; j < 4; j++)
            page_line(page, from + (to - from) * j / 4, y + 1.2, from + (to - from) * (j + 1) / 4, y - 1.2,
                      thin, 0);
    }
    for (size_t i = 0; i < fitting->join_count; i++) {
        double x = along(stretch, fitting->joins[i]);
        page_fill(page, (struct area){x - 0.4, y - 3.2, 0.8, 6.4}, 0);
    }
    if (fitting->control != CONTROL_HAND) {
        double near = fitting->control == CONTROL_CORD_LEFT ? left : right;
        double far = fitting->control == CONTROL_CORD_LEFT ? right : left;
        page_fill(page, (struct area){near - 1.6, y - 1.9, 3.2, 3.8}, 0);
        page_fill(page, (struct area){far - 1, y - 1.6, 2, 3.2}, 0);
    }
}

/* What a black mark means, at the right of `row`; and below, how long each piece is. */
static void draw_pieces(struct page *page, const struct fitting *fitting, struct stretch stretch,
                        struct area row, double y) {
    static const struct text_style word = {.most = 7.5, .least = 6.5};
    char text[64], length[ELL_LENGTH_TEXT];
    struct area legend = area_right(&row, 18);
    page_fill(page, (struct area){legend.x, legend.y + 0.3, 2.6, 2.8}, 0);
    page_text(page, (struct area){legend.x + 3.4, legend.y, 14, 3.6}, &word, "joined here");
    ell_length from = 0;
    for (size_t i = 0; i < fitting->piece_count; i++) {
        ell_length to = from + fitting->pieces[i];
        double left = along(stretch, from), right = along(stretch, to);
        fitting_figure(fitting, fitting->pieces[i], length);
        snprintf(text, sizeof text, "piece %zu: %s", i + 1, length);
        if (page_text_width(page, &figure, text) + 4 > right - left)
            snprintf(text, sizeof text, "%s", length);
        draw_across(page, left, right, y, text);
        from = to;
    }
}

static struct stretch stretch_over(struct area box, const struct fitting *fitting) {
    const double inset = 9;
    return (struct stretch){box.x + inset, (box.width - 2 * inset) / real_mm(fitting->overall)};
}

double fitting_marks_height(double width, const struct fitting *fitting) {
    double upright = upright_length(fitting, stretch_over((struct area){0, 0, width, 0}, fitting));
    return (upright > 0 ? 34 + 2 * upright : 42) + (fitting->piece_count > 1 ? pieces_row : 0);
}

/* The midpoint as a dashed line, out of the way of a mark that stands on it. */
static void draw_midpoint(struct page *page, const struct fitting *fitting, struct stretch stretch, double y,
                          double high, double low) {
    static const struct text_style word = {.most = 7.5, .least = 6.5};
    double x = along(stretch, fitting->midpoint);
    bool taken = false;
    for (size_t i = 0; i < fitting->mark_count; i++)
        taken = taken || fabs(along(stretch, fitting->marks[i].from_left) - x) < 6;
    if (!taken)
        page_line(page, x, y - high, x, y + high, thin, 1.2);
    page_line(page, x, y + high + 0.5, x, low, thin, 1.2);
    page_text(page, (struct area){x + 0.8, low - 7.6, 20, 3.2}, &word, "midpoint");
}

/* "opening 3200; the track passes it by 150 left, 150 right" */
static void draw_opening_width(struct page *page, const struct fitting *fitting, struct stretch stretch,
                               double y) {
    char text[160], width[ELL_LENGTH_TEXT], past_left[ELL_LENGTH_TEXT], past_right[ELL_LENGTH_TEXT];
    ell_length left = fitting->past_left, right = fitting->overall - fitting->past_right;
    if (left == 0 && right == fitting->overall)
        return;
    bool inside = left < 0 || fitting->past_right < 0;
    snprintf(text, sizeof text, "opening %s; %s %s left, %s right",
             fitting_figure(fitting, right - left, width), inside ? "gap" : "the track passes it by",
             fitting_figure(fitting, llabs(left), past_left),
             fitting_figure(fitting, llabs(fitting->past_right), past_right));
    draw_across(page, along(stretch, left), along(stretch, right), y, text);
}

void fitting_draw_marks(struct page *page, struct area box, const struct fitting *fitting) {
    static const struct text_style word = {.most = 7.5, .least = 6.5};
    char text[64], length[ELL_LENGTH_TEXT];
    struct stretch stretch = stretch_over(box, fitting);
    double upright = upright_length(fitting, stretch);
    double y = box.y + (upright > 0 ? upright + 10.5 : 14), down = y + (upright > 0 ? upright + 6.5 : 10.5);
    page_print(page, (struct area){box.x, box.y, 60, 3.6}, &word, "from the left end of the track, %s",
               unit_name(fitting->unit));
    page_print(page, (struct area){box.x, down - 0.6, 60, 3.6}, &word, "from the midpoint, %s",
               unit_name(fitting->unit));
    draw_midpoint(page, fitting, stretch, y, upright > 0 ? upright + 4.5 : 9, down + 8.4);
    draw_track(page, fitting, stretch, y);
    for (size_t i = 0; i < fitting->mark_count; i++) {
        const struct fitting_mark *mark = &fitting->marks[i];
        double x = along(stretch, mark->from_left);
        draw_figure(page, x, y - 2.4, y - 4.6, upright, fitting_figure(fitting, mark->from_left, length));
        draw_figure(page, x, y + 2.4, y + 4.2, upright,
                    fitting_figure(fitting, llabs(mark->from_midpoint), length));
        draw_mark(page, x, y, i + 1, mark->join);
    }
    draw_opening_width(page, fitting, stretch, down + 8.4);
    snprintf(text, sizeof text, "track overall %s", fitting_figure(fitting, fitting->overall, length));
    draw_across(page, along(stretch, 0), along(stretch, fitting->overall), down + 14, text);
    if (fitting->piece_count > 1)
        draw_pieces(page, fitting, stretch, (struct area){box.x, down - 0.6, box.width, 3.6},
                    down + 14 + pieces_row);
}

/* ---- the elevation ---- */

/* y is counted down from the fixing line, x from the left end of the track; real millimetres. */
struct view {
    double x, y, scale;
};

static double view_x(struct view view, double x) {
    return view.x + x * view.scale;
}

static double view_y(struct view view, double y) {
    return view.y + y * view.scale;
}

/* A surface seen on edge: a thick line with short strokes on its far side. */
static void draw_edge(struct page *page, double x1, double x2, double y, bool below) {
    page_line(page, x1, y, x2, y, thick, 0);
    for (int i = 0; x1 + 2 + 4 * i < x2; i++) {
        double x = x1 + 2 + 4 * i;
        page_line(page, x, y, x - 1.5, below ? y + 1.5 : y - 1.5, thin, 0);
    }
}

static void draw_opening(struct page *page, struct view view, const struct fitting *fitting, double top,
                         double bottom) {
    double left = view_x(view, real_mm(fitting->past_left));
    double right = view_x(view, real_mm(fitting->overall - fitting->past_right));
    struct area opening = {left, view_y(view, top), right - left, (bottom - top) * view.scale};
    page_frame(page, opening, line);
    struct area pane = area_inset(opening, 1.2, 1.2);
    page_frame(page, pane, thin);
    page_line(page, pane.x + pane.width / 2, pane.y, pane.x + pane.width / 2, pane.y + pane.height, thin, 0);
}

/* The cord loop hangs at its end of the track and is held taut by the tension pulley. */
static void draw_cord(struct page *page, struct view view, const struct fitting *fitting, double floor) {
    static const struct text_style word = {.most = 8, .least = 6, .bold = true};
    if (fitting->control == CONTROL_HAND)
        return;
    bool left = fitting->control == CONTROL_CORD_LEFT;
    double end = view_x(view, left ? 0 : real_mm(fitting->overall));
    double drop = fitting->cord_drop != FITTING_UNKNOWN ? real_mm(fitting->cord_drop) : floor * 0.6;
    double bottom = view_y(view, fmin(drop, floor)), inward = left ? 0.8 : -0.8;
    page_line(page, end, view_y(view, 0), end, bottom, line, 0);
    page_line(page, end + inward, view_y(view, 0), end + inward, bottom, line, 0);
    page_fill(page, (struct area){end + inward / 2 - 1.3, bottom - 1, 2.6, 3}, 0);
    struct text_style style = word;
    style.align = left ? ALIGN_LEFT : ALIGN_RIGHT;
    struct area box = {left ? end + 2.8 : end - 32.8, bottom - 1.6, 30, 4};
    page_fill(page, (struct area){left ? box.x : box.x + 3, box.y, 27, box.height}, 1);
    page_text(page, box, &style, "tension pulley");
}

static void draw_near(struct page *page, struct view view, const struct fitting *fitting, double floor) {
    static const struct text_style word = {.most = 6.5, .least = 6, .align = ALIGN_CENTRE};
    for (size_t i = 0; i < fitting->near_count; i++) {
        const struct fitting_near *thing = &fitting->near[i];
        double x = real_mm(fitting->past_left + thing->from_left),
               y = floor - real_mm(thing->from_floor + thing->height);
        struct area area = {view_x(view, x), view_y(view, y), fmax(1.5, real_mm(thing->width) * view.scale),
                            fmax(1.5, real_mm(thing->height) * view.scale)};
        page_fill(page, area, 1);
        page_frame(page, area, line);
        struct area box = {area.x + area.width / 2 - 8, area.y + area.height / 2 - 1.5, 16, 3};
        if (area.width > 12 && area.height > 3)
            page_text(page, box, &word, thing->what);
        else
            page_text(page, (struct area){box.x, area.y - 3.2, 16, 3}, &word, thing->what);
    }
}

/* The width of a lying figure beside the elevation. */
static double figure_room(const struct fitting *fitting) {
    return fitting->unit == UNIT_INCH ? 15 : 9.5;
}

static void draw_heights(struct page *page, struct view view, const struct fitting *fitting, double right,
                         double top, double floor) {
    char text[64], length[ELL_LENGTH_TEXT];
    double end = view_x(view, real_mm(fitting->overall)) + 1.5;
    page_line(page, end, view.y, right, view.y, thin, 1);
    if (fitting->height != FITTING_UNKNOWN) {
        snprintf(text, sizeof text, "%s above the floor", fitting_figure(fitting, fitting->height, length));
        draw_upright(page, right - 1, view.y, view_y(view, floor), text);
    }
    if (fitting->above == FITTING_UNKNOWN || fitting->above == 0)
        return;
    double wide = figure_room(fitting), x = right - wide - 2.9, y = view_y(view, top);
    double opening = view_x(view, real_mm(fitting->overall - fitting->past_right));
    page_line(page, opening, y, x + 1.5, y, thin, 1);
    page_line(page, x, view.y, x, y, thin, 0);
    tick(page, x, view.y);
    tick(page, x, y);
    snprintf(text, sizeof text, "%s", fitting_figure(fitting, llabs(fitting->above), length));
    struct area box = {x + 1.6, (view.y + y) / 2 - 1.8, wide, 3.6};
    page_text(page, box, &figure, text);
}

void fitting_draw_elevation(struct page *page, struct area box, const struct fitting *fitting) {
    double top = fitting->above != FITTING_UNKNOWN ? real_mm(fitting->above) : 0;
    double opening = fitting->opening_height != FITTING_UNKNOWN ? real_mm(fitting->opening_height) : 1200;
    double bottom = top + opening;
    double floor = fitting->height != FITTING_UNKNOWN ? real_mm(fitting->height) : bottom + 150;
    double ceiling =
        fitting->ceiling != FITTING_UNKNOWN ? top - real_mm(fitting->ceiling) : fmin(-120, top - 120);
    double side = fmax(60, fmax(-real_mm(fitting->past_left), -real_mm(fitting->past_right)) + 60);
    double width = real_mm(fitting->overall) + 2 * side, height = floor - fmin(ceiling, 0);
    struct area drawing = area_inset(box, 1, 2.5);
    double room_for_heights = figure_room(fitting) + 6.5;
    struct view view = {.scale = fmin((drawing.width - room_for_heights) / width, drawing.height / height)};
    double drawn = width * view.scale;
    view.x = drawing.x + (drawing.width - room_for_heights - drawn) / 2 + side * view.scale;
    view.y = drawing.y - fmin(ceiling, 0) * view.scale;
    double left = view_x(view, -side),
           right = view_x(view, real_mm(fitting->overall) + side) + room_for_heights;
    draw_opening(page, view, fitting, top, bottom);
    draw_near(page, view, fitting, floor);
    if (fitting->ceiling != FITTING_UNKNOWN || fitting->top)
        draw_edge(page, left, right, view_y(view, fitting->ceiling != FITTING_UNKNOWN ? ceiling : 0), false);
    if (fitting->height != FITTING_UNKNOWN)
        draw_edge(page, left, right, view_y(view, floor), true);
    draw_cord(page, view, fitting, floor);
    double track_left = view_x(view, 0), track_right = view_x(view, real_mm(fitting->overall));
    page_fill(page, (struct area){track_left, view.y - 0.6, track_right - track_left, 1.2}, 0);
    for (size_t i = 0; i < fitting->mark_count; i++)
        page_fill(
            page,
            (struct area){view_x(view, real_mm(fitting->marks[i].from_left)) - 0.35, view.y - 1.6, 0.7, 2.2},
            0);
    draw_heights(page, view, fitting, right, top, floor);
}
