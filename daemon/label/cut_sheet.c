/* The cut sheet: bar after bar in sawing order, to scale, with the stop's settings. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "label/sheets.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CUT_BARS = 2000, CUT_PIECES = 200 };

struct cut_piece {
    char name[96], code[CODE_TEXT];
    ell_length length;
};
struct cut_bar {
    char name[64], code[CODE_TEXT], place[64], batch[64], remainder_code[CODE_TEXT], remainder_place[64];
    int64_t sequence, count;
    int64_t from,
        to; /* the bars that are sawn together with this one, by sequence; both its own where it is alone */
    ell_length length, lead_trim, remainder;
    bool squared, returns;
    size_t piece_count;
    struct cut_piece *pieces; /* owned */
};
struct cut_sheet {
    char plan[64], saw[64], system[128], finish[96], date[11];
    ell_length kerf, longest;
    double yield;
    int64_t gang; /* equal bars that the saw takes at once */
    size_t count;
    struct cut_bar *bars; /* owned */
};

static bool read_pieces(const struct form *bar_form, const json_t *list, struct cut_bar *bar,
                        struct fault *fault) {
    size_t index;
    json_t *json;
    char path[128];
    bar->pieces = calloc(json_array_size(list) + 1, sizeof *bar->pieces);
    if (bar->pieces == NULL)
        return fault_memory(fault);
    json_array_foreach(list, index, json) {
        struct cut_piece *piece = &bar->pieces[bar->piece_count++];
        struct form form;
        form_open(&form, json, form_below(bar_form, "pieces", (long)index, path), fault);
        form_text(&form, "piece", piece->name, sizeof piece->name);
        form_code_or(&form, "code", piece->code);
        piece->length = form_length(&form, "length", 1, ELL_LENGTH_MAX);
        if (!form_close(&form))
            return false;
    }
    return true;
}

static bool read_bar(const json_t *json, const char *path, struct cut_bar *bar, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    bar->sequence = form_integer(&form, "sequence", 1, 1000000);
    bar->count = form_integer_or(&form, "count", 1, 1000000, 1);
    form_text(&form, "bar", bar->name, sizeof bar->name);
    form_code_or(&form, "code", bar->code);
    form_text_or(&form, "place", bar->place, sizeof bar->place, "");
    form_text_or(&form, "batch", bar->batch, sizeof bar->batch, "");
    bar->length = form_length(&form, "length", 1, ELL_LENGTH_MAX);
    bar->squared = form_boolean_or(&form, "squared", false);
    bar->lead_trim = form_length(&form, "lead_trim", 0, ELL_LENGTH_MAX);
    bar->remainder = form_length(&form, "remainder", 0, ELL_LENGTH_MAX);
    bar->returns = form_boolean_or(&form, "returns", false);
    form_code_or(&form, "remainder_code", bar->remainder_code);
    form_text_or(&form, "remainder_place", bar->remainder_place, sizeof bar->remainder_place, "");
    const json_t *pieces = form_array(&form, "pieces", 1, CUT_PIECES);
    return form_close(&form) && read_pieces(&form, pieces, bar, fault);
}

static bool alike(const struct cut_bar *a, const struct cut_bar *b) {
    bool same = a->length == b->length && a->squared == b->squared && a->lead_trim == b->lead_trim &&
                a->count == 1 && b->count == 1 && a->piece_count == b->piece_count;
    for (size_t i = 0; same && i < a->piece_count; i++)
        same = a->pieces[i].length == b->pieces[i].length;
    return same;
}

/* Equal bars that follow each other are held and sawn together, as many at once as the saw takes. */
static void gang_bars(struct cut_sheet *sheet) {
    for (size_t first = 0, next; first < sheet->count; first = next) {
        struct cut_bar *bars = sheet->bars;
        next = first + 1;
        while (next < sheet->count && (int64_t)(next - first) < sheet->gang &&
               alike(&bars[first], &bars[next]))
            next++;
        for (size_t i = first; i < next; i++) {
            bars[i].from = bars[first].sequence;
            bars[i].to = bars[next - 1].sequence;
        }
    }
}

static bool read_sheet(const json_t *json, struct cut_sheet *sheet, struct fault *fault) {
    struct form form;
    char path[128];
    form_open(&form, json, "", fault);
    form_text(&form, "plan", sheet->plan, sizeof sheet->plan);
    form_text_or(&form, "saw", sheet->saw, sizeof sheet->saw, "");
    form_text_or(&form, "system", sheet->system, sizeof sheet->system, "");
    form_text_or(&form, "finish", sheet->finish, sizeof sheet->finish, "");
    form_date_or(&form, "date", sheet->date, "");
    sheet->kerf = form_length(&form, "kerf", 0, 100 * ELL_MM);
    sheet->yield = form_number_or(&form, "yield", 0, 100, 0);
    sheet->gang = form_integer_or(&form, "gang", 1, 20, 1);
    const json_t *bars = form_array(&form, "bars", 1, CUT_BARS);
    if (!form_close(&form))
        return false;
    sheet->bars = calloc(json_array_size(bars), sizeof *sheet->bars);
    if (sheet->bars == NULL)
        return fault_memory(fault);
    size_t index;
    json_t *bar;
    json_array_foreach(bars, index, bar) {
        struct cut_bar *read = &sheet->bars[sheet->count++];
        if (!read_bar(bar, form_below(&form, "bars", (long)index, path), read, fault))
            return false;
        sheet->longest = read->length > sheet->longest ? read->length : sheet->longest;
    }
    gang_bars(sheet);
    return true;
}

static double real_mm(ell_length length) {
    return (double)length / 10;
}

/* Slanting strokes: what is lost. */
static void hatch(struct page *page, struct area area) {
    page_frame(page, area, 0.2);
    const double step = 1.4;
    for (int i = 0; step * i < area.width - 1e-6; i++) {
        double x = area.x + step * i, run = fmin(area.height / 2, area.x + area.width - x);
        page_line(page, x, area.y + area.height, x + run, area.y + area.height - 2 * run, 0.12, 0);
    }
}

/* One bar to the common scale: trim, pieces with their running marks below, remainder. */
static void draw_bar(struct page *page, struct area box, const struct cut_sheet *sheet,
                     const struct cut_bar *bar) {
    static const struct text_style inside = {.most = 9, .least = 6, .bold = true, .align = ALIGN_CENTRE};
    static const struct text_style mark = {.most = 7.5, .least = 6, .align = ALIGN_RIGHT};
    char text[ELL_LENGTH_TEXT];
    double scale = box.width / real_mm(sheet->longest), high = 7;
    ell_length at = bar->lead_trim;
    struct area whole = {box.x, box.y, real_mm(bar->length) * scale, high};
    if (bar->lead_trim > 0)
        hatch(page, (struct area){box.x, box.y, fmax(real_mm(bar->lead_trim) * scale, 0.8), high});
    double last_mark = box.x;
    for (size_t i = 0; i < bar->piece_count; i++) {
        double left = box.x + real_mm(at) * scale, right = left + real_mm(bar->pieces[i].length) * scale;
        page_frame(page, (struct area){left, box.y, right - left, high}, 0.3);
        if (right - left > 7)
            page_text(page, area_inset((struct area){left, box.y, right - left, high}, 0.8, 0.8), &inside,
                      ell_length_text(bar->pieces[i].length, text));
        at += bar->pieces[i].length;
        page_line(page, right, box.y + high, right, box.y + high + 1.4, 0.2, 0);
        if (right - last_mark > 13) {
            page_text(page, (struct area){right - 14, box.y + high + 1.2, 14, 3.4}, &mark,
                      ell_length_text(at, text));
            last_mark = right;
        }
        at += sheet->kerf;
    }
    double rest = whole.x + whole.width - real_mm(bar->remainder) * scale;
    struct area remainder = {rest, box.y, whole.x + whole.width - rest, high};
    if (bar->remainder <= 0)
        return;
    if (bar->returns)
        page_line(page, remainder.x, remainder.y + high / 2, remainder.x + remainder.width,
                  remainder.y + high / 2, 0.3, 1);
    else if (remainder.width > 0.8)
        hatch(page, remainder);
    page_frame(page, remainder, 0.2);
}

static void draw_bar_head(struct flow *flow, const struct cut_bar *bar) {
    static const struct text_style number = {.most = 15, .least = 7, .bold = true, .essential = true};
    static const struct text_style name = {.most = 11, .least = 8, .bold = true};
    static const struct text_style fact = {.most = 10, .least = 7, .bold = true, .align = ALIGN_RIGHT};
    char text[320], length[ELL_LENGTH_TEXT], batch[80] = "", count[48] = "";
    struct area row = flow_take(flow, 7);
    page_print(&flow->page, area_left(&row, 14), &number, "%" PRId64, bar->sequence);
    if (bar->batch[0])
        snprintf(batch, sizeof batch, "batch %s", bar->batch);
    if (bar->count > 1)
        snprintf(count, sizeof count, "%" PRId64 " bars alike", bar->count);
    page_text(
        &flow->page, area_right(&row, 84), &fact,
        motif_join(text, sizeof text, count, batch, bar->squared ? "end is square" : "square the end first"));
    char where[160];
    snprintf(where, sizeof where, "%s, %s mm", bar->name, ell_length_text(bar->length, length));
    page_text(&flow->page, row, &name, motif_join(text, sizeof text, where, bar->place, bar->code));
}

static void draw_gang(struct flow *flow, const struct cut_bar *bar) {
    static const struct text_style style = {.most = 10, .least = 7, .bold = true};
    struct area row = flow_take(flow, 5);
    area_left(&row, 14);
    if (bar->sequence == bar->from)
        page_print(&flow->page, row, &style,
                   "Clamp %" PRId64 " %s %" PRId64 " together and saw them at once.", bar->from,
                   bar->to == bar->from + 1 ? "and" : "to", bar->to);
    else
        page_print(&flow->page, row, &style, "Sawn together with %" PRId64 ".", bar->from);
}

static void draw_stops(struct flow *flow, const struct cut_sheet *sheet, const struct cut_bar *bar) {
    static const struct flow_column columns[] = {{"cut", 0.08, ALIGN_RIGHT, false},
                                                 {"stop at, mm", 0.16, ALIGN_RIGHT, true},
                                                 {"mark on bar, mm", 0.17, ALIGN_RIGHT, false},
                                                 {"", 0.02, ALIGN_LEFT, false},
                                                 {"piece", 0.39, ALIGN_LEFT, false},
                                                 {"code", 0.18, ALIGN_LEFT, false}};
    ell_length at = bar->lead_trim;
    flow_row(flow, flow_take(flow, 4), columns, 6, NULL, 0);
    for (size_t i = 0; i < bar->piece_count; i++) {
        char number[48], stop[ELL_LENGTH_TEXT], mark[ELL_LENGTH_TEXT];
        snprintf(number, sizeof number, "%" PRId64 "-%zu", bar->sequence, i + 1);
        at += bar->pieces[i].length;
        const char *const cells[] = {number,
                                     ell_length_text(bar->pieces[i].length, stop),
                                     ell_length_text(at, mark),
                                     "",
                                     bar->pieces[i].name,
                                     bar->pieces[i].code};
        flow_row(flow, flow_take(flow, 5.6), columns, 6, cells, 11);
        at += sheet->kerf;
    }
}

static void draw_remainder(struct flow *flow, const struct cut_bar *bar) {
    static const struct text_style style = {.most = 10, .least = 7, .bold = true};
    char text[320], length[ELL_LENGTH_TEXT], code[64] = "", place[96] = "";
    ell_length_text(bar->remainder, length);
    struct area row = flow_take(flow, 6);
    area_left(&row, 14);
    if (bar->remainder_code[0])
        snprintf(code, sizeof code, ", label it %s", bar->remainder_code);
    if (bar->remainder_place[0])
        snprintf(place, sizeof place, ", put it at %s", bar->remainder_place);
    if (bar->remainder <= 0)
        snprintf(text, sizeof text, "Nothing remains.");
    else if (bar->returns)
        snprintf(text, sizeof text, "%s mm remains: back to the rack%s%s.", length, code, place);
    else
        snprintf(text, sizeof text, "%s mm remains: scrap.", length);
    page_text(&flow->page, row, &style, text);
}

static void compose(struct flow *flow, const void *data) {
    const struct cut_sheet *sheet = data;
    struct flow_head head = {
        .title = "Cut sheet",
        .foot = "Stop: length of the piece. Mark: from the bar's lead end. Guard the blade, clamp the bar, "
                "protect eyes and ears."};
    char kerf[48], yield[48] = "", length[ELL_LENGTH_TEXT];
    snprintf(head.name, sizeof head.name, "Plan %s", sheet->plan);
    motif_join(head.lines[0], sizeof head.lines[0], sheet->saw, sheet->date, NULL);
    motif_join(head.lines[1], sizeof head.lines[1], sheet->system, sheet->finish, NULL);
    snprintf(kerf, sizeof kerf, "kerf %s mm", ell_length_text(sheet->kerf, length));
    if (sheet->yield > 0)
        snprintf(yield, sizeof yield, "yield %.1f %%", sheet->yield);
    motif_join(head.lines[2], sizeof head.lines[2], kerf, yield, NULL);
    flow_begin(flow, &head);
    for (size_t i = 0; i < sheet->count; i++) {
        const struct cut_bar *bar = &sheet->bars[i];
        flow_keep(flow, 7 + 5 + 13 + 4 + 5.6 * fmin((double)bar->piece_count, 6) + 7);
        draw_bar_head(flow, bar);
        if (bar->from < bar->to)
            draw_gang(flow, bar);
        draw_bar(&flow->page, flow_take(flow, 13), sheet, bar);
        draw_stops(flow, sheet, bar);
        draw_remainder(flow, bar);
        flow_gap(flow, 4);
    }
}

bool cut_sheet_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct cut_sheet sheet = {.count = 0};
    bool good = read_sheet(document, &sheet, fault) && sheet_flow("cut sheet", compose, &sheet, pdf, fault);
    for (size_t i = 0; i < sheet.count; i++)
        free(sheet.bars[i].pieces);
    free(sheet.bars);
    return good;
}
