/* SPDX-License-Identifier: Apache-2.0 */
#include "label/flow.h"

#include "label/kinds.h"

#include <stdio.h>
#include <string.h>

static const double margin = 12, foot_height = 8;

static void draw_head(struct flow *flow, struct area top) {
    static const struct text_style title = {.most = 9, .least = 7};
    static const struct text_style name = {.most = 24, .least = 12, .bold = true};
    static const struct text_style code = {.most = 8, .least = 6, .essential = true, .align = ALIGN_CENTRE};
    static const struct text_style line = {.most = 10.5, .least = 7};
    if (flow->head.code[0]) {
        struct area column = area_right(&top, 20);
        struct area box = area_top(&column, 18);
        /* The margin of the page is white as well. */
        box.y -= 2;
        box.x += 3;
        struct area symbol = page_symbol(&flow->page, box, SYMBOL_DATA_MATRIX, flow->head.code);
        column.x = symbol.x - 4;
        column.width = symbol.width + 6;
        page_text(&flow->page, area_top(&column, 4), &code, flow->head.code);
    }
    struct area left = area_left(&top, top.width * 0.48);
    page_text(&flow->page, area_top(&left, 5), &title, flow->head.title);
    page_text(&flow->page, area_top(&left, 12), &name, flow->head.name);
    area_top(&top, 3.5);
    area_left(&top, 4);
    for (int i = 0; i < 3; i++)
        page_text(&flow->page, area_top(&top, 5.2), &line, flow->head.lines[i]);
}

static void draw_foot(struct flow *flow, struct area foot) {
    static const struct text_style note = {.most = 8, .least = 6.5};
    static const struct text_style number = {
        .most = 8, .least = 6.5, .essential = true, .align = ALIGN_RIGHT};
    page_line(&flow->page, foot.x, foot.y + 1, foot.x + foot.width, foot.y + 1, 0.2, 0);
    area_top(&foot, 2);
    page_print(&flow->page, area_right(&foot, 34), &number, "page %d of %d", flow->number,
               flow->total > 0 ? flow->total : flow->number);
    page_text(&flow->page, foot, &note, flow->head.foot);
}

static void finish_page(struct flow *flow) {
    if (flow->number > 0 && flow->paint != NULL && page_good(&flow->page))
        paint_page(flow->paint, &flow->page);
}

static void next_page(struct flow *flow) {
    finish_page(flow);
    page_begin(&flow->page, 210, 297);
    flow->number++;
    flow->rest = area_inset((struct area){0, 0, 210, 297}, margin, margin);
    draw_head(flow, area_top(&flow->rest, 23));
    struct area rule = area_top(&flow->rest, 3);
    page_line(&flow->page, rule.x, rule.y + 0.5, rule.x + rule.width, rule.y + 0.5, 0.5, 0);
    draw_foot(flow, area_bottom(&flow->rest, foot_height));
}

void flow_begin(struct flow *flow, const struct flow_head *head) {
    flow->head = *head;
    next_page(flow);
}

void flow_keep(struct flow *flow, double height) {
    if (height > flow->rest.height + 1e-6 && page_good(&flow->page))
        next_page(flow);
}

struct area flow_take(struct flow *flow, double height) {
    flow_keep(flow, height);
    return area_top(&flow->rest, height);
}

void flow_gap(struct flow *flow, double height) {
    area_top(&flow->rest, height);
}

void flow_heading(struct flow *flow, const char *text, double below) {
    static const struct text_style style = {.most = 11, .least = 9, .bold = true};
    flow_keep(flow, 8 + below);
    flow_gap(flow, 2);
    page_text(&flow->page, flow_take(flow, 6), &style, text);
}

void flow_paragraph(struct flow *flow, const char *sign, const char *text, double points) {
    struct text_style style = {.most = points, .least = points, .lines = 12, .settle = SETTLE_TOP};
    struct text_style mark = {
        .most = points, .least = 6, .bold = true, .settle = SETTLE_TOP, .align = ALIGN_RIGHT};
    double indent = sign != NULL ? 8 : 0;
    double height = page_text_height(&flow->page, &style, flow->rest.width - indent, text);
    struct area strip = flow_take(flow, height + 1);
    if (sign != NULL) {
        struct area column = area_left(&strip, indent);
        column.width -= 2.5;
        column.height = points * 0.43;
        page_text(&flow->page, column, &mark, sign);
    }
    page_text(&flow->page, strip, &style, text);
}

void flow_caution(struct flow *flow, const char *text, double points) {
    struct text_style style = {.most = points, .least = points, .bold = true, .lines = 8};
    double height = page_text_height(&flow->page, &style, flow->rest.width - 8, text);
    struct area strip = flow_take(flow, fmax(height + 1.2, 6));
    struct area sign = area_left(&strip, 8);
    motif_warning(&flow->page, (struct area){sign.x, sign.y + (fmin(sign.height, 6) - 5) / 2, 5.6, 5});
    style.settle = height < 5 ? SETTLE_MIDDLE : SETTLE_TOP;
    page_text(&flow->page, strip, &style, text);
}

void flow_row(struct flow *flow, struct area row, const struct flow_column *columns, int count,
              const char *const *cells, double points) {
    double y = row.y + row.height, whole = row.width;
    for (int i = 0; i < count; i++) {
        struct area cell = area_left(&row, whole * columns[i].share);
        struct text_style style = {.most = cells == NULL ? 7.5 : points,
                                   .least = 6,
                                   .bold = cells != NULL && columns[i].bold,
                                   .align = columns[i].align};
        cell.width -= 2;
        page_text(&flow->page, cell, &style, cells == NULL ? columns[i].name : cells[i]);
    }
    page_line(&flow->page, row.x - whole, y, row.x, y, cells == NULL ? 0.3 : 0.12, 0);
}

static bool run(struct flow *flow, flow_compose *compose, const void *data) {
    compose(flow, data);
    finish_page(flow);
    return page_good(&flow->page);
}

bool flow_render(const char *title, flow_compose *compose, const void *data, struct fault *fault,
                 unsigned char **bytes, size_t *count, unsigned *pages, unsigned *missing) {
    struct flow flow = {.number = 0};
    if (!page_open(&flow.page, fault))
        return false;
    bool good = run(&flow, compose, data);
    if (good) {
        flow.total = flow.number;
        flow.number = 0;
        flow.page.missing = 0;
        flow.paint = paint_open(title);
        good = flow.paint != NULL ? run(&flow, compose, data) : fault_memory(fault);
    }
    *missing = flow.page.missing;
    if (flow.paint != NULL)
        good = paint_close(flow.paint, good ? bytes : NULL, count, pages, fault) && good;
    page_close(&flow.page);
    return good;
}
