/* The dispatch note: the parcels of an order as they are given to whoever carries them, to be counted and signed for.
 * SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "label/sheets.h"
#include "label/units.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

enum { NOTE_PARCELS = 999 };

struct noted {
    char code[CODE_TEXT], carrier[48], wrap[96];
    int64_t parcel, mass;
    ell_length outside, girth;
};
struct note {
    char code[CODE_TEXT], order[64], customer[128], due[11], notes[400];
    enum label_unit unit;
    size_t count;
    struct noted *parcels; /* owned */
};

static bool read_parcel(const json_t *json, const char *path, struct noted *parcel, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_code(&form, CODE_PARCEL, parcel->code);
    parcel->parcel = form_integer(&form, "parcel", 1, NOTE_PARCELS);
    form_text_or(&form, "carrier", parcel->carrier, sizeof parcel->carrier, "");
    form_text_or(&form, "wrap", parcel->wrap, sizeof parcel->wrap, "");
    parcel->mass = form_integer_or(&form, "mass", 0, 1000000000, 0);
    parcel->outside = form_length_or(&form, "outside", 0, ELL_LENGTH_MAX, 0);
    parcel->girth = form_length_or(&form, "girth", 0, ELL_LENGTH_MAX, 0);
    return form_close(&form);
}

static bool read_note(const json_t *json, struct note *note, struct fault *fault) {
    struct form form;
    char path[128];
    size_t index;
    json_t *item;
    form_open(&form, json, "", fault);
    form_code(&form, CODE_ORDER, note->code);
    form_text(&form, "order", note->order, sizeof note->order);
    form_text_or(&form, "customer", note->customer, sizeof note->customer, "");
    form_date_or(&form, "due", note->due, "");
    form_text_or(&form, "notes", note->notes, sizeof note->notes, "");
    note->unit = form_unit(&form);
    const json_t *parcels = form_array(&form, "parcels", 1, NOTE_PARCELS);
    if (!form_close(&form))
        return false;
    note->parcels = calloc(json_array_size(parcels), sizeof *note->parcels);
    if (note->parcels == NULL)
        return fault_memory(fault);
    json_array_foreach(parcels, index, item) {
        if (!read_parcel(item, form_below(&form, "parcels", (long)index, path), &note->parcels[note->count++],
                         fault))
            return false;
    }
    return true;
}

/* A box to tick, the symbol to scan, and what the carrier asks for. */
static void draw_parcel(struct flow *flow, const struct note *note, const struct noted *parcel) {
    static const struct text_style number = {.most = 13, .least = 8, .bold = true};
    static const struct text_style line = {.most = 10.5, .least = 7};
    static const struct text_style small = {.most = 8, .least = 6.5};
    char text[256], outside[UNIT_TEXT], girth[UNIT_TEXT];
    struct area row = flow_take(flow, 19);
    page_line(&flow->page, row.x, row.y + row.height, row.x + row.width, row.y + row.height, 0.12, 0);
    struct area tick = area_left(&row, 9);
    page_frame(&flow->page, (struct area){tick.x + 0.5, tick.y + 6, 5.5, 5.5}, 0.3);
    struct area cell = area_left(&row, 20);
    page_symbol(&flow->page, (struct area){cell.x, cell.y + 1, 16, 16}, SYMBOL_DATA_MATRIX, parcel->code);
    area_top(&row, 2);
    snprintf(text, sizeof text, "Parcel %" PRId64 " of %zu", parcel->parcel, note->count);
    page_text(&flow->page, area_top(&row, 5.5), &number, text);
    page_text(&flow->page, area_top(&row, 5), &line,
              motif_join(text, sizeof text, parcel->carrier[0] ? parcel->carrier : "carried by ourselves",
                         parcel->wrap, NULL));
    snprintf(text, sizeof text, "%s   %.1f kg%s%s%s%s", parcel->code, (double)parcel->mass / 1000,
             parcel->outside > 0 ? "   length " : "",
             parcel->outside > 0 ? unit_text(parcel->outside, note->unit, outside) : "",
             parcel->girth > 0 ? "   girth " : "",
             parcel->girth > 0 ? unit_text(parcel->girth, note->unit, girth) : "");
    page_text(&flow->page, area_top(&row, 4.5), &small, text);
}

static void compose(struct flow *flow, const void *data) {
    static const struct text_style line = {.most = 11, .least = 7};
    const struct note *note = data;
    struct flow_head head = {.title = "Dispatch note", .foot = "Each parcel is scanned when it leaves."};
    int64_t mass = 0;
    for (size_t i = 0; i < note->count; i++)
        mass += note->parcels[i].mass;
    snprintf(head.name, sizeof head.name, "%s", note->order);
    snprintf(head.code, sizeof head.code, "%s", note->code);
    snprintf(head.lines[0], sizeof head.lines[0], "%zu %s, %.1f kg", note->count,
             note->count == 1 ? "parcel" : "parcels", (double)mass / 1000);
    if (note->due[0])
        snprintf(head.lines[1], sizeof head.lines[1], "due %s", note->due);
    flow_begin(flow, &head);
    page_text(&flow->page, flow_take(flow, 6), &(struct text_style){.most = 13, .least = 8, .bold = true},
              note->customer);
    flow_gap(flow, 2);
    if (note->notes[0])
        flow_paragraph(flow, NULL, note->notes, SHEET_TEXT);
    for (size_t i = 0; i < note->count; i++)
        draw_parcel(flow, note, &note->parcels[i]);
    flow_keep(flow, 24);
    flow_gap(flow, 10);
    struct area sign = flow_take(flow, 12);
    page_line(&flow->page, sign.x, sign.y + 6, sign.x + 80, sign.y + 6, 0.2, 0);
    page_line(&flow->page, sign.x + 95, sign.y + 6, sign.x + sign.width, sign.y + 6, 0.2, 0);
    page_text(&flow->page, (struct area){sign.x, sign.y + 7, 80, 5}, &line, "Taken over by");
    page_text(&flow->page, (struct area){sign.x + 95, sign.y + 7, 60, 5}, &line, "Date and time");
}

bool dispatch_note_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct note note = {.count = 0};
    bool good = read_note(document, &note, fault) && sheet_flow("dispatch note", compose, &note, pdf, fault);
    free(note.parcels);
    return good;
}
