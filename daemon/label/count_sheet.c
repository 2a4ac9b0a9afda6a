/* The count sheet: what lies in a bin, or at a place of the rack, to be counted blind. It has no room for what the books say,
 * so nothing can put it there. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "label/sheets.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

enum { COUNT_TAKES = 200, COUNT_LINES = 2000, COUNT_ALL = 20000, SPARE_LINES = 6, RACK_LINES = 24 };

struct count_line {
    char part[48], name[128], batch[64];
    bool by_length;
};
struct count_take {
    char place[64], code[CODE_TEXT];
    int64_t number, round;
    bool rack;
    size_t first, count; /* of the lines */
};
struct count_sheet {
    char date[11];
    size_t take_count, line_count;
    struct count_take *takes; /* owned */
    struct count_line *lines; /* owned */
};

static bool read_line(const json_t *json, const char *path, struct count_line *line, struct fault *fault) {
    static const char *const units[] = {"each", "length", NULL};
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "part", line->part, sizeof line->part);
    form_text(&form, "name", line->name, sizeof line->name);
    form_text_or(&form, "batch", line->batch, sizeof line->batch, "");
    line->by_length = form_choice_or(&form, "unit", units, 0) == 1;
    return form_close(&form);
}

static bool read_lines(const struct form *above, const json_t *lines, struct count_sheet *sheet,
                       struct count_take *take, struct fault *fault) {
    char path[128];
    size_t index, room = sheet->line_count + json_array_size(lines);
    json_t *item;
    take->first = sheet->line_count;
    if (room > COUNT_ALL)
        return fault_set(fault, "out-of-range", form_below(above, "lines", -1, path),
                         "At most %d lines go on one sheet; print fewer bins at once.", COUNT_ALL);
    struct count_line *grown = realloc(sheet->lines, (room + 1) * sizeof *grown);
    if (grown == NULL)
        return fault_memory(fault);
    sheet->lines = grown;
    json_array_foreach(lines, index, item) {
        if (!read_line(item, form_below(above, "lines", (long)index, path),
                       &sheet->lines[sheet->line_count++], fault))
            return false;
        take->count++;
    }
    return true;
}

static bool read_take(const json_t *json, const char *path, struct count_sheet *sheet,
                      struct count_take *take, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    take->number = form_integer(&form, "stock_take", 1, INT64_MAX);
    take->round = form_integer_or(&form, "round", 1, 100, 1);
    take->rack = form_has(&form, "place");
    form_text_or(&form, "place", take->place, sizeof take->place, "");
    if (!take->rack) {
        form_text(&form, "bin", take->place, sizeof take->place);
        form_code(&form, CODE_PLACE, take->code);
    }
    const json_t *lines = form_array(&form, "lines", 0, COUNT_LINES);
    return form_close(&form) && read_lines(&form, lines, sheet, take, fault);
}

static bool read_sheet(const json_t *json, struct count_sheet *sheet, struct fault *fault) {
    struct form form;
    char path[128];
    size_t index;
    json_t *item;
    form_open(&form, json, "", fault);
    form_date_or(&form, "date", sheet->date, "");
    const json_t *takes = form_array(&form, "stock_takes", 1, COUNT_TAKES);
    if (!form_close(&form))
        return false;
    sheet->takes = calloc(json_array_size(takes) + 1, sizeof *sheet->takes);
    if (sheet->takes == NULL)
        return fault_memory(fault);
    json_array_foreach(takes, index, item) {
        if (!read_take(item, form_below(&form, "stock_takes", (long)index, path), sheet,
                       &sheet->takes[sheet->take_count++], fault))
            return false;
    }
    return true;
}

/* An empty box at the right of the row, for the figure that somebody writes. */
static void draw_box(struct flow *flow, struct area *row, double width, const char *unit) {
    static const struct text_style small = {
        .most = 7, .least = 6, .settle = SETTLE_BOTTOM, .align = ALIGN_RIGHT};
    struct area cell = area_right(row, width);
    struct area box = area_inset(cell, 1.5, 1);
    page_frame(&flow->page, box, 0.35);
    page_text(&flow->page, area_inset(box, 1, 0.6), &small, unit);
}

static void draw_line(struct flow *flow, const struct count_line *line) {
    static const struct text_style code = {.most = 11, .least = 7, .bold = true};
    static const struct text_style name = {.most = 10, .least = 7, .lines = 2};
    static const struct text_style batch = {.most = 10, .least = 7};
    struct area row = flow_take(flow, 9.5);
    page_line(&flow->page, row.x, row.y + row.height, row.x + row.width, row.y + row.height, 0.12, 0);
    draw_box(flow, &row, 38, line->by_length ? "mm" : "");
    page_text(&flow->page, area_left(&row, 38), &code, line->part);
    page_text(&flow->page, area_right(&row, 28), &batch, line->batch);
    page_text(&flow->page, row, &name, line->name);
}

/* Lines to write on: a rule in each cell. */
static void draw_blank(struct flow *flow, const double *widths, int count) {
    struct area row = flow_take(flow, 8.5);
    for (int i = 0; i < count; i++) {
        struct area cell = area_left(&row, widths[i]);
        page_line(&flow->page, cell.x, cell.y + cell.height, cell.x + cell.width - 2, cell.y + cell.height,
                  0.2, 0);
    }
}

static void draw_bin(struct flow *flow, const struct count_sheet *sheet, const struct count_take *take) {
    static const struct flow_column columns[] = {{"part", 0.204, ALIGN_LEFT, false},
                                                 {"what", 0.441, ALIGN_LEFT, false},
                                                 {"batch", 0.151, ALIGN_LEFT, false},
                                                 {"count", 0.204, ALIGN_RIGHT, false}};
    static const double widths[] = {38, 82, 28, 38};
    flow_row(flow, flow_take(flow, 5), columns, 4, NULL, 0);
    for (size_t i = 0; i < take->count; i++)
        draw_line(flow, &sheet->lines[take->first + i]);
    flow_gap(flow, 2);
    flow_heading(flow, "What else lies there", SPARE_LINES * 8.5);
    for (int i = 0; i < SPARE_LINES; i++)
        draw_blank(flow, widths, 4);
}

static void draw_rack(struct flow *flow) {
    static const struct flow_column columns[] = {{"code on the label", 0.25, ALIGN_LEFT, false},
                                                 {"without a label: system, finish", 0.36, ALIGN_LEFT, false},
                                                 {"length mm", 0.18, ALIGN_LEFT, false},
                                                 {"batch", 0.21, ALIGN_LEFT, false}};
    static const double widths[] = {46.5, 67, 33.5, 39};
    flow_row(flow, flow_take(flow, 5), columns, 4, NULL, 0);
    for (int i = 0; i < RACK_LINES; i++)
        draw_blank(flow, widths, 4);
}

static void draw_hands(struct flow *flow) {
    static const struct text_style text = {.most = 9.5, .least = 7, .settle = SETTLE_BOTTOM};
    struct area row = flow_take(flow, 12);
    page_text(&flow->page, area_left(&row, 24), &text, "Counted by");
    struct area hand = area_left(&row, 70);
    page_line(&flow->page, hand.x, hand.y + hand.height - 1, hand.x + hand.width, hand.y + hand.height - 1,
              0.2, 0);
    area_left(&row, 6);
    page_text(&flow->page, area_left(&row, 30), &text, "Day and time");
    page_line(&flow->page, row.x, row.y + row.height - 1, row.x + row.width, row.y + row.height - 1, 0.2, 0);
}

static void compose(struct flow *flow, const void *data) {
    const struct count_sheet *sheet = data;
    for (size_t i = 0; i < sheet->take_count; i++) {
        const struct count_take *take = &sheet->takes[i];
        struct flow_head head = {.title = "Count sheet",
                                 .foot = "Count what lies there; write 0 for what does not. Enter it the "
                                         "same day, with the time of the count."};
        snprintf(head.name, sizeof head.name, "%s %s", take->rack ? "Rack" : "Bin", take->place);
        snprintf(head.code, sizeof head.code, "%s", take->code);
        snprintf(head.lines[0], sizeof head.lines[0], "stock-take %" PRId64, take->number);
        if (take->round > 1)
            snprintf(head.lines[2], sizeof head.lines[2], "count %" PRId64 ": please once more, with care",
                     take->round);
        snprintf(head.lines[1], sizeof head.lines[1], "%s", sheet->date);
        flow_begin(flow, &head);
        if (take->rack)
            draw_rack(flow);
        else
            draw_bin(flow, sheet, take);
        draw_hands(flow);
    }
}

bool count_sheet_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct count_sheet sheet = {.take_count = 0};
    bool good = read_sheet(document, &sheet, fault) && sheet_flow("count sheet", compose, &sheet, pdf, fault);
    free(sheet.takes);
    free(sheet.lines);
    return good;
}
