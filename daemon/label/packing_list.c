/* The packing list that goes with an order: parcel after parcel. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "label/sheets.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

enum { PACK_PARCELS = 99, PACK_CONTENTS = 200, PACK_LINES = 8 };

struct packed {
    char name[160], note[160];
    int64_t quantity;
};
struct packed_parcel {
    char wrap[96];
    int64_t parcel, mass;
    ell_length longest;
    size_t count;
    struct packed *contents; /* owned */
};
struct packing_list {
    char code[CODE_TEXT], order[64], customer[128], due[11], notes[400], address[PACK_LINES][128];
    enum label_unit unit;
    size_t address_count, count;
    struct packed_parcel *parcels; /* owned */
};

static bool read_contents(const struct form *above, const json_t *list, struct packed_parcel *parcel,
                          struct fault *fault) {
    size_t index;
    json_t *json;
    char path[128];
    parcel->contents = calloc(json_array_size(list), sizeof *parcel->contents);
    if (parcel->contents == NULL)
        return fault_memory(fault);
    json_array_foreach(list, index, json) {
        struct packed *packed = &parcel->contents[parcel->count++];
        struct form form;
        form_open(&form, json, form_below(above, "contents", (long)index, path), fault);
        form_text(&form, "name", packed->name, sizeof packed->name);
        form_text_or(&form, "note", packed->note, sizeof packed->note, "");
        packed->quantity = form_integer_or(&form, "quantity", 1, 1000000, 1);
        if (!form_close(&form))
            return false;
    }
    return true;
}

static bool read_parcel(const json_t *json, const char *path, struct packed_parcel *parcel,
                        struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    parcel->parcel = form_integer(&form, "parcel", 1, 999);
    form_text_or(&form, "wrap", parcel->wrap, sizeof parcel->wrap, "");
    parcel->mass = form_integer_or(&form, "mass", 0, 1000000000, 0);
    parcel->longest = form_length_or(&form, "longest", 1, ELL_LENGTH_MAX, 0);
    const json_t *contents = form_array(&form, "contents", 1, PACK_CONTENTS);
    return form_close(&form) && read_contents(&form, contents, parcel, fault);
}

static bool read_list(const json_t *json, struct packing_list *list, struct fault *fault) {
    struct form form;
    char path[128];
    size_t index;
    json_t *item;
    form_open(&form, json, "", fault);
    form_code(&form, CODE_ORDER, list->code);
    form_text(&form, "order", list->order, sizeof list->order);
    form_text_or(&form, "customer", list->customer, sizeof list->customer, "");
    form_date_or(&form, "due", list->due, "");
    form_text_or(&form, "notes", list->notes, sizeof list->notes, "");
    list->unit = form_unit(&form);
    list->address_count = form_lines(&form, "address", list->address, PACK_LINES);
    const json_t *parcels = form_array(&form, "parcels", 1, PACK_PARCELS);
    if (!form_close(&form))
        return false;
    list->parcels = calloc(json_array_size(parcels), sizeof *list->parcels);
    if (list->parcels == NULL)
        return fault_memory(fault);
    json_array_foreach(parcels, index, item) {
        if (!read_parcel(item, form_below(&form, "parcels", (long)index, path), &list->parcels[list->count++],
                         fault))
            return false;
    }
    return true;
}

static void draw_parcel(struct flow *flow, const struct packed_parcel *parcel, size_t of,
                        enum label_unit unit) {
    static const struct flow_column columns[] = {{"quantity", 0.12, ALIGN_RIGHT, true},
                                                 {"what", 0.48, ALIGN_LEFT, false},
                                                 {"", 0.40, ALIGN_LEFT, false}};
    char text[256], longest[64] = "", mass[32] = "", length[UNIT_TEXT];
    if (parcel->longest > 0)
        snprintf(longest, sizeof longest, ", longest piece %s", unit_text(parcel->longest, unit, length));
    if (parcel->mass > 0)
        snprintf(mass, sizeof mass, ", %.1f kg", (double)parcel->mass / 1000);
    snprintf(text, sizeof text, "Parcel %" PRId64 " of %zu%s%s%s%s", parcel->parcel, of,
             parcel->wrap[0] ? ", " : "", parcel->wrap, mass, longest);
    flow_heading(flow, text, 16);
    flow_row(flow, flow_take(flow, 4), columns, 3, NULL, 0);
    for (size_t i = 0; i < parcel->count; i++) {
        char quantity[24];
        snprintf(quantity, sizeof quantity, "%" PRId64, parcel->contents[i].quantity);
        const char *const cells[] = {quantity, parcel->contents[i].name, parcel->contents[i].note};
        flow_row(flow, flow_take(flow, 6), columns, 3, cells, 10.5);
    }
    flow_gap(flow, 3);
}

static void compose(struct flow *flow, const void *data) {
    static const struct text_style line = {.most = 11, .least = 7};
    const struct packing_list *list = data;
    struct flow_head head = {.title = "Packing list",
                             .foot = "Please check against the parcels and tell us at once what is missing."};
    snprintf(head.name, sizeof head.name, "%s", list->order);
    snprintf(head.code, sizeof head.code, "%s", list->code);
    snprintf(head.lines[0], sizeof head.lines[0], "%zu %s", list->count,
             list->count == 1 ? "parcel" : "parcels");
    if (list->due[0])
        snprintf(head.lines[1], sizeof head.lines[1], "due %s", list->due);
    flow_begin(flow, &head);
    page_text(&flow->page, flow_take(flow, 6), &(struct text_style){.most = 13, .least = 8, .bold = true},
              list->customer);
    for (size_t i = 0; i < list->address_count; i++)
        page_text(&flow->page, flow_take(flow, 5.4), &line, list->address[i]);
    flow_gap(flow, 2);
    if (list->notes[0])
        flow_paragraph(flow, NULL, list->notes, SHEET_TEXT);
    for (size_t i = 0; i < list->count; i++)
        draw_parcel(flow, &list->parcels[i], list->count, list->unit);
}

bool packing_list_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct packing_list list = {.count = 0};
    bool good = read_list(document, &list, fault) && sheet_flow("packing list", compose, &list, pdf, fault);
    for (size_t i = 0; i < list.count; i++)
        free(list.parcels[i].contents);
    free(list.parcels);
    return good;
}
