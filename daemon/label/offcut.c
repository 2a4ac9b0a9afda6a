/* Labels of lengths on the rack: an offcut, a full bar. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"

#include <stdio.h>

struct rack_length {
    char code[CODE_TEXT], system[128], finish[96], batch[64], place[64], date[11];
    ell_length length;
    enum label_unit unit;
    int64_t reprint;
    bool squared;
    const char *title; /* "OFFCUT" or "BAR" */
};

static bool read_length(const json_t *json, enum code_kind kind, struct rack_length *length,
                        struct fault *fault) {
    struct form form;
    form_open(&form, json, code_kind_name(kind), fault);
    form_code(&form, kind, length->code);
    form_text(&form, "system", length->system, sizeof length->system);
    form_text_or(&form, "finish", length->finish, sizeof length->finish, "");
    form_text_or(&form, "batch", length->batch, sizeof length->batch, "");
    form_text_or(&form, "place", length->place, sizeof length->place, "");
    form_date_or(&form, "date", length->date, "");
    length->length = form_length(&form, "length", 1, 100000 * ELL_MM);
    length->unit = form_unit(&form);
    length->reprint = form_integer_or(&form, "reprint", 0, 999, 0);
    length->squared = kind == CODE_OFFCUT && form_boolean_or(&form, "squared", false);
    length->title = kind == CODE_OFFCUT ? "OFFCUT" : "BAR";
    return form_close(&form);
}

static const char *end_text(const struct rack_length *length) {
    if (length->title[0] == 'B')
        return "full bar";
    return length->squared ? "end square" : "square it first";
}

static void draw_block(struct page *page, struct area area, enum label_shape shape,
                       const struct rack_length *length) {
    bool large = shape == SHAPE_LARGE;
    struct text_style head = {.most = large ? 13 : 9, .least = 7, .bold = true};
    struct text_style line = {.most = large ? 11 : 8.5, .least = LABEL_LEAST, .bold = true};
    struct text_style fact = {.most = large ? 10 : 8, .least = LABEL_LEAST};
    char text[320], batch[80] = "";
    struct area below, inside = label_inside(area);
    motif_symbol(page, &inside, shape, length->code, &below);
    motif_reprint(page, &below, length->reprint);
    bool placed = below.height >= 4;
    if (placed)
        page_text(page, area_inset(below, 0, below.height > 9 ? 2 : 0),
                  &(struct text_style){
                      .most = large ? 16 : 11, .least = LABEL_LEAST, .bold = true, .align = ALIGN_CENTRE},
                  length->place);
    struct area row = area_top(&inside, large ? 7 : inside.height * 0.19);
    struct area title = row;
    motif_tag(page, &title, large ? 12 : 8, length->title);
    page_text(page, title, &head, end_text(length));
    area_top(&inside, large ? 2 : 0.8);
    motif_length(page, area_top(&inside, inside.height * 0.52), length->length, length->unit, 96);
    area_top(&inside, large ? 2 : 0.8);
    struct area first = area_top(&inside, inside.height / 2);
    page_text(page, first, &line, motif_join(text, sizeof text, length->system, length->finish, NULL));
    if (length->batch[0])
        snprintf(batch, sizeof batch, "batch %s", length->batch);
    page_text(page, inside, &fact,
              motif_join(text, sizeof text, placed ? "" : length->place, batch, length->date));
}

static void draw_strip(struct page *page, struct area area, const struct rack_length *length) {
    static const struct text_style head = {.most = 9, .least = LABEL_LEAST, .bold = true};
    static const struct text_style fact = {.most = 7.5, .least = LABEL_LEAST};
    static const struct text_style mark = {.most = 8, .least = LABEL_LEAST, .bold = true, .essential = true};
    char text[320], reprint[32];
    struct area inside = label_inside(area);
    motif_symbol(page, &inside, SHAPE_STRIP, length->code, NULL);
    area_left(&inside, 1);
    motif_length(page, area_left(&inside, inside.width * 0.48), length->length, length->unit, 60);
    area_left(&inside, 1);
    double high = inside.height / (inside.height > 8 ? 3 : 2);
    struct area row = area_top(&inside, high);
    motif_tag(page, &row, 7, length->title);
    page_text(page, row, &head, length->place);
    if (inside.height > high * 1.5)
        page_text(page, area_top(&inside, high), &fact,
                  motif_join(text, sizeof text, length->system, length->finish, length->batch));
    if (length->reprint > 0) {
        page_text(page, inside, &mark, motif_reprint_text(length->reprint, reprint));
        return;
    }
    page_text(page, inside, &fact, motif_join(text, sizeof text, end_text(length), length->date, NULL));
}

static void rack_layout(struct page *page, struct area area, const json_t *payload, enum code_kind kind) {
    struct rack_length length;
    if (!read_length(payload, kind, &length, page->fault)) {
        page->failed = true;
        return;
    }
    enum label_shape shape = label_shape(area);
    if (shape == SHAPE_STRIP)
        draw_strip(page, area, &length);
    else
        draw_block(page, area, shape, &length);
}

void offcut_layout(struct page *page, struct area area, const json_t *payload, unsigned part,
                   unsigned *parts) {
    (void)part;
    *parts = 1;
    rack_layout(page, area, payload, CODE_OFFCUT);
}

void bar_layout(struct page *page, struct area area, const json_t *payload, unsigned part, unsigned *parts) {
    (void)part;
    *parts = 1;
    rack_layout(page, area, payload, CODE_BAR);
}
