/* Labels that stand on something for long: a bin or rack place, and a parcel. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

struct bin {
    char code[CODE_TEXT], name[64], part[128], note[160];
    int64_t reprint;
};

static bool read_bin(const json_t *json, struct bin *bin, struct fault *fault) {
    struct form form;
    form_open(&form, json, "bin", fault);
    form_code(&form, CODE_PLACE, bin->code);
    form_text(&form, "name", bin->name, sizeof bin->name);
    form_text_or(&form, "part", bin->part, sizeof bin->part, "");
    form_text_or(&form, "note", bin->note, sizeof bin->note, "");
    bin->reprint = form_integer_or(&form, "reprint", 0, 999, 0);
    return form_close(&form);
}

void bin_layout(struct page *page, struct area area, const json_t *payload, unsigned part, unsigned *parts) {
    struct bin bin;
    (void)part;
    *parts = 1;
    if (!read_bin(payload, &bin, page->fault)) {
        page->failed = true;
        return;
    }
    enum label_shape shape = label_shape(area);
    bool large = shape == SHAPE_LARGE;
    struct text_style name = {.most = 96, .least = 10, .bold = true, .essential = true, .tight = true};
    struct text_style what = {.most = large ? 14 : 10, .least = LABEL_LEAST, .bold = true, .lines = 2};
    struct text_style note = {.most = large ? 10 : 8, .least = LABEL_LEAST};
    char reprint[32];
    struct area below, inside = label_inside(area);
    motif_symbol(page, &inside, shape, bin.code, &below);
    if (shape == SHAPE_STRIP) {
        motif_tag(page, &inside, 8, motif_reprint_text(bin.reprint, reprint));
        struct area half = area_left(&inside, inside.width * (bin.part[0] || bin.note[0] ? 0.5 : 1));
        page_text(page, half, &name, bin.name);
        area_left(&inside, 1.5);
        page_text(page, area_top(&inside, inside.height * (bin.note[0] ? 0.6 : 1)), &what, bin.part);
        page_text(page, inside, &note, bin.note);
        return;
    }
    motif_reprint(page, &below, bin.reprint);
    page_text(page, area_top(&inside, inside.height * (bin.part[0] ? 0.55 : 0.75)), &name, bin.name);
    area_top(&inside, inside.height * 0.1);
    struct area foot = area_bottom(&inside, bin.note[0] ? inside.height * 0.35 : 0);
    page_text(page, inside, &what, bin.part);
    page_text(page, foot, &note, bin.note);
}

enum { PARCEL_LINES = 8 };

struct parcel {
    char code[CODE_TEXT], order[64], customer[128];
    char address[PARCEL_LINES][128], contents[PARCEL_LINES][128];
    size_t address_count, content_count;
    enum label_unit unit;
    int64_t parcel, of, reprint;
    ell_length longest;
};

static bool read_parcel(const json_t *json, struct parcel *parcel, struct fault *fault) {
    struct form form;
    form_open(&form, json, "parcel", fault);
    form_code(&form, CODE_PARCEL, parcel->code);
    form_text(&form, "order", parcel->order, sizeof parcel->order);
    form_text_or(&form, "customer", parcel->customer, sizeof parcel->customer, "");
    parcel->address_count = form_lines(&form, "address", parcel->address, PARCEL_LINES);
    parcel->content_count = form_lines(&form, "contents", parcel->contents, PARCEL_LINES);
    parcel->of = form_integer(&form, "of", 1, 999);
    parcel->parcel = form_integer(&form, "parcel", 1, 999);
    parcel->longest = form_length_or(&form, "longest", 1, 100000 * ELL_MM, 0);
    parcel->unit = form_unit(&form);
    parcel->reprint = form_integer_or(&form, "reprint", 0, 999, 0);
    if (parcel->parcel > parcel->of)
        form_wrong(&form, "parcel", "out-of-range", "The parcel's number may not pass how many there are.");
    return form_close(&form);
}

static void draw_list(struct page *page, struct area box, double points, char lines[][128], size_t count) {
    struct text_style style = {.most = points, .least = LABEL_LEAST};
    double high = fmin(box.height / (double)(count > 0 ? count : 1), points * 0.5);
    for (size_t i = 0; i < count && box.height > 2; i++)
        page_text(page, area_top(&box, high), &style, lines[i]);
}

/* Where it goes, and below a rule what is in it. */
static void draw_lines(struct page *page, struct area box, bool large, struct parcel *parcel) {
    double points = large ? 11 : 8, count = (double)(parcel->address_count + parcel->content_count);
    if (count < 1)
        return;
    bool both = parcel->address_count > 0 && parcel->content_count > 0;
    double gap = both && large ? 2 : 0, high = fmin((box.height - gap) / count, points * 0.5);
    draw_list(page, area_top(&box, high * (double)parcel->address_count), points, parcel->address,
              parcel->address_count);
    if (gap > 0) {
        struct area rule = area_top(&box, gap);
        page_line(page, rule.x, rule.y + gap / 2, rule.x + rule.width, rule.y + gap / 2, 0.25, 0);
    }
    draw_list(page, box, large ? 10 : 8, parcel->contents, parcel->content_count);
}

void parcel_layout(struct page *page, struct area area, const json_t *payload, unsigned part,
                   unsigned *parts) {
    struct parcel parcel;
    (void)part;
    *parts = 1;
    if (!read_parcel(payload, &parcel, page->fault)) {
        page->failed = true;
        return;
    }
    enum label_shape shape = label_shape(area);
    bool large = shape == SHAPE_LARGE;
    struct text_style order = {.most = large ? 34 : 20, .least = 8, .bold = true, .essential = true};
    struct text_style customer = {.most = large ? 13 : 9, .least = LABEL_LEAST, .bold = true};
    char tag[64], longest[48] = "", reprint[32], text[UNIT_TEXT];
    struct area below, inside = label_inside(area);
    motif_symbol(page, &inside, shape, parcel.code, &below);
    if (shape != SHAPE_STRIP)
        motif_reprint(page, &below, parcel.reprint);
    struct area row = area_top(&inside, shape == SHAPE_STRIP ? inside.height * 0.55 : inside.height * 0.28);
    snprintf(tag, sizeof tag, "%" PRId64 "/%" PRId64, parcel.parcel, parcel.of);
    if (shape == SHAPE_STRIP)
        motif_tag(page, &row, 8, motif_reprint_text(parcel.reprint, reprint));
    motif_tag(page, &row, large ? 16 : 10, tag);
    page_text(page, row, &order, parcel.order);
    if (parcel.longest > 0)
        snprintf(longest, sizeof longest, "longest %s", unit_text(parcel.longest, parcel.unit, text));
    if (shape == SHAPE_STRIP) {
        char joined[320];
        page_text(page, inside, &customer, motif_join(joined, sizeof joined, parcel.customer, longest, NULL));
        return;
    }
    page_text(page, area_top(&inside, large ? 6 : 4), &customer, parcel.customer);
    struct area foot = area_bottom(&inside, longest[0] ? (large ? 5 : 3.5) : 0);
    page_text(page, foot, &customer, longest);
    draw_lines(page, inside, large, &parcel);
}
