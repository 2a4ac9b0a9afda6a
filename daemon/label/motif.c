/* What the labels share. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"

#include "common/text.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum label_shape label_shape(struct area area) {
    return area.height < 20 ? SHAPE_STRIP : area.height < 44 ? SHAPE_SMALL : SHAPE_LARGE;
}

struct area label_inside(struct area area) {
    double margin = label_shape(area) == SHAPE_STRIP ? 1 : 2;
    return area_inset(area, margin, margin);
}

void form_code(struct form *form, enum code_kind kind, char text[CODE_TEXT]) {
    struct code code;
    struct fault fault;
    form_text(form, "code", text, CODE_TEXT);
    if (form->failed)
        return;
    if (!code_read(text, &code, &fault))
        form_wrong(form, "code", fault.code, "%s", fault.message);
    else if (code.kind != kind)
        form_wrong(form, "code", "bad-code", "\"%s\" is the code of a %s; this label is for a %s.", text,
                   code_kind_name(code.kind), code_kind_name(kind));
    else
        code_write_issue(&code, text);
}

void form_code_or(struct form *form, const char *name, char text[CODE_TEXT]) {
    struct code code;
    struct fault fault;
    form_text_or(form, name, text, CODE_TEXT, "");
    if (form->failed || text[0] == '\0')
        return;
    if (code_read(text, &code, &fault))
        code_write_issue(&code, text);
    else
        form_wrong(form, name, fault.code, "%s", fault.message);
}

size_t form_lines(struct form *form, const char *name, char lines[][128], size_t most) {
    const json_t *list = form_array(form, name, 0, most);
    size_t index, count = 0;
    json_t *line;
    json_array_foreach(list, index, line) {
        const char *text = json_string_value(line);
        if (text == NULL || text_check(text, 127) < 0)
            form_wrong(form, name, "bad-text", "Each line is a text of at most 127 bytes.");
        else
            snprintf(lines[count++], 128, "%s", text);
    }
    return form->failed ? 0 : count;
}

static void strip_symbol(struct page *page, struct area *rest, const char *code) {
    static const struct text_style style = {
        .most = 8, .least = LABEL_LEAST, .essential = true, .align = ALIGN_CENTRE};
    /* Bars 0.25 mm wide: start, a symbol for each character or pair of digits, check, stop, and 10 modules on
     * each side. */
    struct area bars = area_left(rest, fmin(rest->width * 0.36, 48));
    struct symbol symbol;
    bool linear = symbol_make(SYMBOL_CODE_128, code, &symbol, page->fault) &&
                  symbol_module(&symbol, page->dots_per_inch, bars.width, bars.height) > 0;
    if (!linear) {
        struct area box = bars;
        struct area placed = page_symbol(page, box, SYMBOL_DATA_MATRIX, code);
        struct area text = {placed.x + placed.width, box.y, box.width - placed.width, box.height};
        page_text(page, text, &style, code);
        return;
    }
    struct area text = area_bottom(&bars, 2.8);
    area_bottom(&bars, 0.3);
    struct area placed = page_symbol(page, bars, SYMBOL_CODE_128, code);
    text.width = placed.width;
    page_text(page, text, &style, code);
    double unused = bars.width - placed.width;
    rest->x -= unused;
    rest->width += unused;
}

void motif_symbol(struct page *page, struct area *rest, enum label_shape shape, const char *code,
                  struct area *below) {
    static const struct text_style style = {
        .most = 9, .least = LABEL_LEAST, .essential = true, .lines = 2, .align = ALIGN_CENTRE};
    if (shape == SHAPE_STRIP) {
        strip_symbol(page, rest, code);
        if (below != NULL)
            *below = (struct area){0};
        return;
    }
    /* The margin of the label is white as well, so the quiet zone may lie in it. */
    const double margin = 2;
    double width = fmin(fmin(rest->width * 0.3, rest->height * 0.55), 16);
    struct area column = area_left(rest, width);
    area_left(rest, 1.5);
    struct area box = {column.x - margin, column.y - margin, width + margin, width + margin};
    struct area symbol = page_symbol(page, box, SYMBOL_DATA_MATRIX, code);
    area_top(&column, symbol.y + symbol.height - column.y);
    column.x = symbol.x + 0.9;
    column.width = symbol.width - 1.8;
    page_text(page, area_top(&column, strlen(code) > 10 ? 5.2 : 3.4), &style, code);
    if (below != NULL)
        *below = column;
}

void motif_tag(struct page *page, struct area *row, double points, const char *text) {
    struct text_style style = {points,        LABEL_LEAST,          .bold = true, .essential = true,
                               .white = true, .align = ALIGN_CENTRE};
    if (text[0] == '\0')
        return;
    double width = fmin(page_text_width(page, &style, text) + 3, row->width * 0.6);
    struct area tag = area_right(row, width);
    area_right(row, 1.5);
    page_fill(page, tag, 0);
    page_text(page, area_inset(tag, 1.2, 0.3), &style, text);
}

/* The saw is set in millimetres: they stay on the label beside the unit of the order. */
static struct area draw_both(struct page *page, struct area box, ell_length length, enum label_unit unit,
                             struct text_style figure) {
    static const struct text_style exact = {
        .most = 14, .least = LABEL_LEAST, .essential = true, .tight = true, .settle = SETTLE_MIDDLE};
    char text[UNIT_TEXT];
    struct area below = area_bottom(&box, fmax(2.6, box.height * 0.26));
    figure.least = 9;
    struct area ink = page_text(page, box, &figure, unit_text(length, unit, text));
    area_top(&below, 0.4);
    struct area exact_ink = page_text(page, below, &exact, unit_text(length, UNIT_MM, text));
    ink.width = fmax(ink.width, exact_ink.width);
    return ink;
}

struct area motif_length(struct page *page, struct area box, ell_length length, enum label_unit unit,
                         double points) {
    struct text_style figure = {.most = points, .least = 10, .bold = true, .essential = true, .tight = true};
    struct text_style small = {.most = fmax(fmin(points * 0.4, 14), 7),
                               .least = LABEL_LEAST,
                               .essential = true,
                               .tight = true,
                               .settle = SETTLE_BOTTOM};
    char text[ELL_LENGTH_TEXT];
    struct area all = box, ink;
    double width = 0;
    if (unit != UNIT_MM) {
        ink = draw_both(page, box, length, unit, figure);
    } else {
        width = fmin(fmax(box.height * 0.75, 5.5), 12) + 1.2;
        box.width -= width;
        ink = page_text(page, box, &figure, ell_length_text(length, text));
        struct area beside = {ink.x + ink.width + 1.2, box.y, width - 1.2, ink.y + ink.height - box.y};
        page_text(page, beside, &small, "mm");
    }
    double used = ink.x + ink.width + width - all.x;
    return (struct area){all.x + used, all.y, fmax(0, all.width - used), all.height};
}

char *motif_reprint_text(int64_t reprint, char text[32]) {
    text[0] = '\0';
    if (reprint > 0)
        snprintf(text, 32, "reprint %" PRId64, reprint);
    return text;
}

void motif_reprint(struct page *page, struct area *column, int64_t reprint) {
    static const struct text_style style = {
        .most = 8, .least = LABEL_LEAST, .bold = true, .essential = true, .align = ALIGN_CENTRE};
    char text[32];
    if (reprint == 0)
        return;
    struct area box = area_bottom(column, 4);
    page_frame(page, box, 0.3);
    page_text(page, area_inset(box, 0.4, 0.4), &style, motif_reprint_text(reprint, text));
}

void motif_warning(struct page *page, struct area sign) {
    static const struct text_style mark = {.most = 24,
                                           .least = 4,
                                           .bold = true,
                                           .essential = true,
                                           .tight = true,
                                           .white = true,
                                           .align = ALIGN_CENTRE};
    const double triangle[] = {sign.x + sign.width / 2, sign.y, sign.x + sign.width,
                               sign.y + sign.height,    sign.x, sign.y + sign.height};
    struct area inner = {sign.x + sign.width * 0.38, sign.y + sign.height * 0.37, sign.width * 0.24,
                         sign.height * 0.53};
    page_shape(page, triangle, 3, 0, 0);
    page_text(page, inner, &mark, "!");
}

void motif_caution(struct page *page, struct area box, const char *text, double points) {
    struct text_style style = {
        .most = points, .least = LABEL_LEAST, .bold = true, .essential = true, .lines = 4};
    double side = fmin(box.height, 9);
    struct area sign = area_left(&box, side);
    sign.y += (sign.height - side * 0.88) / 2;
    sign.height = side * 0.88;
    motif_warning(page, sign);
    area_left(&box, 1.5);
    page_text(page, box, &style, text);
}
