/* The pick list: bin after bin, what to take for which kits. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "label/sheets.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PICK_LINES = 5000, PICK_KITS = 500 };

struct pick_line {
    char bin[48], name[128], part[64], quantity[32], kits[160];
    char source[64]; /* the reel or batch to take it from */
};
struct pick_kit {
    char code[CODE_TEXT], order[64], window[64], room[128];
};
struct pick_list {
    char title[96], date[11];
    size_t line_count, kit_count;
    struct pick_line *lines; /* owned */
    struct pick_kit *kits;   /* owned */
};

static bool read_line(const json_t *json, const char *path, struct pick_line *line, struct fault *fault) {
    static const char *const units[] = {"each", "length", NULL};
    struct form form;
    char text[ELL_LENGTH_TEXT], batch[48];
    form_open(&form, json, path, fault);
    form_text(&form, "bin", line->bin, sizeof line->bin);
    form_text(&form, "name", line->name, sizeof line->name);
    form_text_or(&form, "part", line->part, sizeof line->part, "");
    form_text_or(&form, "kits", line->kits, sizeof line->kits, "");
    form_text_or(&form, "batch", batch, sizeof batch, "");
    bool each = form_choice_or(&form, "unit", units, 0) == 0;
    if (batch[0] != '\0')
        snprintf(line->source, sizeof line->source, "%s %s", each ? "batch" : "reel", batch);
    if (each)
        snprintf(line->quantity, sizeof line->quantity, "%" PRId64,
                 form_integer(&form, "quantity", 1, 10000000));
    else
        snprintf(line->quantity, sizeof line->quantity, "%.20s mm",
                 ell_length_text(form_length(&form, "quantity", 1, ELL_LENGTH_MAX), text));
    return form_close(&form);
}

static bool read_kit(const json_t *json, const char *path, struct pick_kit *kit, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_code(&form, CODE_KIT, kit->code);
    form_text(&form, "order", kit->order, sizeof kit->order);
    form_text(&form, "window", kit->window, sizeof kit->window);
    form_text_or(&form, "room", kit->room, sizeof kit->room, "");
    return form_close(&form);
}

static bool read_list(const json_t *json, struct pick_list *list, struct fault *fault) {
    struct form form;
    char path[128];
    size_t index;
    json_t *item;
    form_open(&form, json, "", fault);
    form_text_or(&form, "title", list->title, sizeof list->title, "");
    form_date_or(&form, "date", list->date, "");
    const json_t *lines = form_array(&form, "lines", 1, PICK_LINES);
    const json_t *kits = form_array(&form, "kits", 0, PICK_KITS);
    if (!form_close(&form))
        return false;
    list->lines = calloc(json_array_size(lines), sizeof *list->lines);
    list->kits = calloc(json_array_size(kits) + 1, sizeof *list->kits);
    if (list->lines == NULL || list->kits == NULL)
        return fault_memory(fault);
    json_array_foreach(lines, index, item) {
        if (!read_line(item, form_below(&form, "lines", (long)index, path), &list->lines[list->line_count++],
                       fault))
            return false;
    }
    json_array_foreach(kits, index, item) {
        if (!read_kit(item, form_below(&form, "kits", (long)index, path), &list->kits[list->kit_count++],
                      fault))
            return false;
    }
    return true;
}

static void draw_line(struct flow *flow, const struct pick_line *line) {
    static const struct text_style bin = {.most = 13, .least = 7, .bold = true, .lines = 2};
    static const struct text_style quantity = {
        .most = 13, .least = 7, .bold = true, .essential = true, .align = ALIGN_RIGHT};
    static const struct text_style name = {.most = 10.5, .least = 7};
    static const struct text_style small = {.most = 8, .least = 6.5};
    static const struct text_style kits = {.most = 9, .least = 6.5, .bold = true};
    char text[384];
    struct area row = flow_take(flow, 9);
    page_line(&flow->page, row.x, row.y + row.height, row.x + row.width, row.y + row.height, 0.12, 0);
    struct area tick = area_left(&row, 8);
    page_frame(&flow->page, (struct area){tick.x + 0.5, tick.y + 2.2, 4.6, 4.6}, 0.3);
    page_text(&flow->page, area_left(&row, 30), &bin, line->bin);
    page_text(&flow->page, area_left(&row, 32), &quantity, line->quantity);
    area_left(&row, 5);
    page_text(&flow->page, area_top(&row, 5), &name, line->name);
    motif_join(text, sizeof text, line->source, line->part, NULL);
    double width = page_text_width(&flow->page, &small, text);
    page_text(&flow->page, area_left(&row, text[0] ? fmin(width + 0.5, row.width / 2) : 0), &small, text);
    area_left(&row, text[0] ? 3 : 0);
    if (line->kits[0])
        page_print(&flow->page, row, &kits, "for %s", line->kits);
}

/* The kits to be filled, each with its scan symbol, three in a row. */
static void draw_kits(struct flow *flow, const struct pick_list *list) {
    static const struct text_style name = {.most = 11, .least = 7, .bold = true};
    static const struct text_style small = {.most = 8, .least = 6.5};
    struct area strip = {0};
    if (list->kit_count == 0)
        return;
    flow_heading(flow, "Kits", 20);
    for (size_t i = 0; i < list->kit_count; i++) {
        const struct pick_kit *kit = &list->kits[i];
        char text[160];
        if (i % 3 == 0)
            strip = flow_take(flow, 19);
        struct area cell = area_left(&strip, 62);
        struct area symbol =
            page_symbol(&flow->page, (struct area){cell.x, cell.y, 17, 17}, SYMBOL_DATA_MATRIX, kit->code);
        cell.width -= symbol.x + symbol.width + 1 - cell.x;
        cell.x = symbol.x + symbol.width + 1;
        area_top(&cell, 2);
        page_text(&flow->page, area_top(&cell, 5), &name,
                  motif_join(text, sizeof text, kit->order, kit->window, NULL));
        page_text(&flow->page, area_top(&cell, 4), &small, kit->room);
        page_text(&flow->page, area_top(&cell, 4), &small, kit->code);
    }
}

/* The title given, or whose kits they are. */
static void name_list(const struct pick_list *list, char name[160]) {
    bool same = list->kit_count > 0;
    for (size_t i = 1; i < list->kit_count; i++)
        same = same && strcmp(list->kits[i].order, list->kits[0].order) == 0;
    if (list->title[0])
        snprintf(name, 160, "%s", list->title);
    else if (list->kit_count == 1)
        motif_join(name, 160, list->kits[0].order, list->kits[0].window, NULL);
    else if (same)
        snprintf(name, 160, "Kits of %s", list->kits[0].order);
    else
        snprintf(name, 160, "%zu kits", list->kit_count);
}

static void compose(struct flow *flow, const void *data) {
    const struct pick_list *list = data;
    struct flow_head head = {.title = "Pick list", .foot = "What is short stays unticked; say so at once."};
    name_list(list, head.name);
    snprintf(head.lines[0], sizeof head.lines[0], "%s", list->date);
    snprintf(head.lines[1], sizeof head.lines[1], "%zu %s, %zu %s", list->line_count,
             list->line_count == 1 ? "line" : "lines", list->kit_count,
             list->kit_count == 1 ? "kit" : "kits");
    flow_begin(flow, &head);
    for (size_t i = 0; i < list->line_count; i++)
        draw_line(flow, &list->lines[i]);
    draw_kits(flow, list);
}

bool pick_list_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct pick_list list = {.line_count = 0};
    bool good = read_list(document, &list, fault) && sheet_flow("pick list", compose, &list, pdf, fault);
    free(list.lines);
    free(list.kits);
    return good;
}
