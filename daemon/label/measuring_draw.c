/* SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting.h"
#include "label/measuring.h"

#include <stdio.h>
#include <string.h>

static const double thin = 0.2, line = 0.35, thick = 0.7;

/* Strokes on the far side of a floor or ceiling. */
static void draw_solid(struct page *page, double left, double right, double y, double side) {
    page_line(page, left, y, right, y, thick, 0);
    for (int i = 0; left + 2 + 3 * i < right; i++)
        page_line(page, left + 2 + 3 * i, y, left + 3.6 + 3 * i, y + side, thin, 0);
}

void measuring_draw_room(struct page *page, struct area box) {
    double ceiling = box.y + 3, floor = box.y + box.height - 3, left = box.x + 2,
           right = box.x + box.width - 2;
    struct area opening = {box.x + box.width * 0.24, box.y + box.height * 0.25, box.width * 0.52,
                           box.height * 0.46};
    double below = opening.y + opening.height, middle = opening.x + opening.width / 2,
           beyond = opening.x + opening.width;
    draw_solid(page, box.x, box.x + box.width, ceiling, -2);
    draw_solid(page, box.x, box.x + box.width, floor, 2);
    page_line(page, left, ceiling, left, floor, line, 0);
    page_line(page, right, ceiling, right, floor, line, 0);
    page_frame(page, opening, thick);
    page_frame(page, area_inset(opening, 1.6, 1.6), thin);
    static const char *const names[] = {"A top", "A middle", "A bottom"};
    for (int i = 0; i < 3; i++)
        draw_across(page, opening.x, beyond, opening.y + opening.height * (0.24 + 0.3 * i), names[i]);
    draw_upright(page, beyond - 6, opening.y, below, "B");
    draw_upright(page, middle, ceiling, opening.y, "C");
    draw_upright(page, middle, below, floor, "D");
    draw_across(page, left, opening.x, opening.y + opening.height / 2, "E");
    draw_across(page, beyond, right, opening.y + opening.height / 2, "F");
}

void measuring_draw_boxes(struct page *page, struct area box, enum label_unit unit) {
    static const struct text_style letter = {.most = 12, .least = 9, .bold = true};
    static const struct text_style words = {.most = 9, .least = 7};
    static const struct text_style small = {
        .most = 7, .least = 6, .settle = SETTLE_BOTTOM, .align = ALIGN_RIGHT};
    static const struct {
        const char *letter, *words;
    } rows[] = {{"A", "width at the top"},       {"", "in the middle"},
                {"", "at the bottom"},           {"B", "height of the opening"},
                {"C", "its top to the ceiling"}, {"D", "its lower edge to the floor"},
                {"E", "free wall, left"},        {"F", "free wall, right"}};
    const int count = sizeof rows / sizeof rows[0];
    double high = box.height / count;
    for (int i = 0; i < count; i++) {
        struct area row = area_top(&box, high), cell = area_inset(area_right(&row, 30), 0, 0.7);
        page_frame(page, cell, line);
        page_text(page, area_inset(cell, 1, 0.4), &small, unit_name(unit));
        page_text(page, area_left(&row, 6), &letter, rows[i].letter);
        page_text(page, row, &words, rows[i].words);
    }
}

void measuring_draw_bay(struct page *page, struct area box) {
    static const struct text_style small = {.most = 7.5, .least = 6, .align = ALIGN_CENTRE};
    double y = box.y + 3, low = box.y + box.height - 2;
    const double x[] = {box.x + 2, box.x + box.width * 0.3, box.x + box.width * 0.7, box.x + box.width - 2};
    page_line(page, x[0], low, x[1], y, thick, 0);
    page_line(page, x[1], y, x[2], y, thick, 0);
    page_line(page, x[2], y, x[3], low, thick, 0);
    static const char *const names[] = {"1", "2", "3", "a", "b"};
    const double at[][2] = {{(x[0] + x[1]) / 2 - 3, (y + low) / 2 - 2.4},
                            {(x[1] + x[2]) / 2, y + 2.4},
                            {(x[2] + x[3]) / 2 + 3, (y + low) / 2 - 2.4},
                            {x[1] + 1, y + 2.6},
                            {x[2] - 1, y + 2.6}};
    for (int i = 0; i < 5; i++)
        page_text(page, (struct area){at[i][0] - 3, at[i][1] - 1.8, 6, 3.6}, &small, names[i]);
}

void measuring_draw_blank(struct page *page, struct area box, const char *word, const char *value) {
    static const struct text_style small = {.most = 7.5, .least = 6, .settle = SETTLE_TOP};
    static const struct text_style known = {.most = 11, .least = 7, .bold = true, .settle = SETTLE_BOTTOM};
    double y = box.y + box.height - 0.6;
    box.width -= 3;
    page_line(page, box.x, y, box.x + box.width, y, thin, 0);
    page_text(page, area_top(&box, 3.4), &small, word);
    box.height -= 1;
    page_text(page, box, &known, value);
}

static const double row_height = 5.8, heading_width = 24, tick = 3.4;

/* A new row with `heading` in its first column; the rest of it. */
static struct area begin_row(struct flow *flow, const char *heading) {
    static const struct text_style style = {.most = 9, .least = 7, .bold = true};
    struct area row = flow_take(flow, row_height);
    page_text(&flow->page, area_left(&row, heading_width), &style, heading);
    return row;
}

void measuring_draw_choices(struct flow *flow, const char *heading, const struct choices *choices) {
    static const struct text_style style = {.most = SHEET_TEXT, .least = 7};
    struct area row = begin_row(flow, heading);
    for (size_t i = 0; i < choices->count; i++) {
        char text[256];
        const struct choice *choice = &choices->items[i];
        bool named = choice->name[0] && strcmp(choice->name, choice->code) != 0;
        snprintf(text, sizeof text, named ? "%s (%s)" : "%s", choice->code, choice->name);
        double width = tick + 1.4 + page_text_width(&flow->page, &style, text) + 5;
        if (width > row.width && row.width < flow->rest.width - heading_width - 1)
            row = begin_row(flow, "");
        struct area cell = area_left(&row, width), mark = area_left(&cell, tick);
        page_frame(&flow->page, (struct area){mark.x, mark.y + (mark.height - tick) / 2, tick, tick}, line);
        area_left(&cell, 1.4);
        page_text(&flow->page, cell, &style, text);
    }
    if (choices->more && row.width > 20)
        page_line(&flow->page, row.x, row.y + row.height - 1, row.x + row.width, row.y + row.height - 1, thin,
                  0);
}
