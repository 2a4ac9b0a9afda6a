/* The curtain maker's sheet: what is sewn for each window of an order, and the cloth for it.
 * SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "label/kinds.h"
#include "label/sheets.h"
#include "label/units.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

enum { SHEET_WINDOWS = 60, CURTAINS = 2, COLUMNS = 9 };

struct sewn {
    char side[16];
    ell_length width, drop, flat, cut_drop, overlap, back;
    int64_t hooks;
    double widths;
};
struct dressed {
    char window[64], room[128], system[64], draw[16], heading[48];
    double fullness, weight; /* g */
    ell_length cloth_width, cloth, repeat;
    int64_t widths;
    size_t count;
    struct sewn curtains[CURTAINS];
};
struct curtain_sheet {
    char order[64], customer[128], due[11];
    enum label_unit unit;
    size_t count;
    struct dressed *windows; /* owned */
};

static ell_length some_length(struct form *form, const char *name) {
    return form_length(form, name, 0, ELL_LENGTH_MAX);
}

static bool read_sewn(const json_t *json, const char *path, struct sewn *sewn, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "side", sewn->side, sizeof sewn->side);
    sewn->width = some_length(&form, "width");
    sewn->drop = some_length(&form, "drop");
    sewn->flat = some_length(&form, "flat");
    sewn->cut_drop = some_length(&form, "cut_drop");
    sewn->widths = form_number(&form, "widths", 0, 1e6);
    sewn->hooks = form_integer(&form, "hooks", 0, 1000000);
    sewn->overlap = some_length(&form, "overlap");
    sewn->back = some_length(&form, "return");
    form_number_or(&form, "weight", 0, 1e9, 0);
    return form_close(&form);
}

static bool read_curtains(const json_t *json, const char *path, struct dressed *dressed,
                          struct fault *fault) {
    struct form form;
    size_t index;
    json_t *each;
    char below[128];
    form_open(&form, json, path, fault);
    dressed->weight = form_number(&form, "weight", 0, 1e9);
    dressed->cloth_width = some_length(&form, "cloth_width");
    dressed->widths = form_integer(&form, "widths", 0, 1000000);
    dressed->cloth = some_length(&form, "cloth");
    const json_t *list = form_array(&form, "each", 1, CURTAINS);
    if (!form_close(&form))
        return false;
    json_array_foreach(list, index, each) {
        if (!read_sewn(each, form_below(&form, "each", (long)index, below),
                       &dressed->curtains[dressed->count++], fault))
            return false;
    }
    return true;
}

/* Of survey and take-off only what is sewn by; their other fields are passed over, for both may grow. */
static bool read_window(const json_t *json, const char *path, struct dressed *dressed, struct fault *fault) {
    struct form form, takeoff, survey, curtain;
    char below[128], deeper[128];
    form_open(&form, json, path, fault);
    form_open(&takeoff, form_object(&form, "takeoff"), form_below(&form, "takeoff", -1, below), fault);
    form_text(&takeoff, "window", dressed->window, sizeof dressed->window);
    form_text_or(&takeoff, "room", dressed->room, sizeof dressed->room, "");
    form_text(&takeoff, "system", dressed->system, sizeof dressed->system);
    form_text_or(&takeoff, "draw", dressed->draw, sizeof dressed->draw, "");
    const json_t *curtains = form_object(&takeoff, "curtains");
    if (form.failed || takeoff.failed ||
        !read_curtains(curtains, form_below(&takeoff, "curtains", -1, deeper), dressed, fault))
        return false;
    form_open(&survey, form_object(&form, "survey"), form_below(&form, "survey", -1, below), fault);
    form_open(&curtain, form_object(&survey, "curtain"), form_below(&survey, "curtain", -1, deeper), fault);
    form_text(&curtain, "heading", dressed->heading, sizeof dressed->heading);
    dressed->fullness = form_number(&curtain, "fullness", 0, 100);
    dressed->repeat = form_length_or(&curtain, "pattern_repeat", 0, ELL_LENGTH_MAX, 0);
    return !form.failed && !survey.failed && !curtain.failed;
}

static bool read_sheet(const json_t *json, struct curtain_sheet *sheet, struct fault *fault) {
    struct form form;
    char path[128];
    size_t index;
    json_t *window;
    form_open(&form, json, "", fault);
    form_text(&form, "order", sheet->order, sizeof sheet->order);
    form_text_or(&form, "customer", sheet->customer, sizeof sheet->customer, "");
    form_date_or(&form, "due", sheet->due, "");
    sheet->unit = form_unit(&form);
    const json_t *windows = form_array(&form, "windows", 1, SHEET_WINDOWS);
    if (!form_close(&form))
        return false;
    sheet->windows = calloc(json_array_size(windows), sizeof *sheet->windows);
    if (sheet->windows == NULL)
        return fault_memory(fault);
    json_array_foreach(windows, index, window) {
        if (!read_window(window, form_below(&form, "windows", (long)index, path),
                         &sheet->windows[sheet->count++], fault))
            return false;
    }
    return true;
}

static const struct flow_column columns[COLUMNS] = {
    {"curtain", 0.11, ALIGN_LEFT, true},        {"finished width", 0.13, ALIGN_RIGHT, true},
    {"finished drop", 0.13, ALIGN_RIGHT, true}, {"flat width", 0.12, ALIGN_RIGHT, false},
    {"cut drop", 0.12, ALIGN_RIGHT, false},     {"widths", 0.09, ALIGN_RIGHT, false},
    {"hooks", 0.08, ALIGN_RIGHT, false},        {"overlap", 0.11, ALIGN_RIGHT, false},
    {"return", 0.11, ALIGN_RIGHT, false}};

static void draw_curtain(struct flow *flow, const struct sewn *sewn, enum label_unit unit) {
    char lengths[6][ELL_LENGTH_TEXT], widths[24], hooks[24];
    const ell_length all[6] = {sewn->width,    sewn->drop,    sewn->flat,
                               sewn->cut_drop, sewn->overlap, sewn->back};
    for (size_t i = 0; i < 6; i++)
        unit_figure(all[i], unit, lengths[i]);
    snprintf(widths, sizeof widths, "%g", sewn->widths);
    snprintf(hooks, sizeof hooks, "%" PRId64, sewn->hooks);
    const char *const cells[COLUMNS] = {sewn->side, lengths[0], lengths[1], lengths[2], lengths[3],
                                        widths,     hooks,      lengths[4], lengths[5]};
    flow_row(flow, flow_take(flow, 8), columns, COLUMNS, cells, 11);
}

static void draw_window(struct flow *flow, const struct dressed *dressed, enum label_unit unit) {
    char text[400], name[240], width[UNIT_TEXT], cloth[UNIT_TEXT], repeat[UNIT_TEXT] = "none";
    motif_join(name, sizeof name, dressed->window, dressed->room, dressed->system);
    flow_heading(flow, name, 8 * (double)(dressed->count + 1) + 14);
    flow_row(flow, flow_take(flow, 6), columns, COLUMNS, NULL, SHEET_SMALL);
    for (size_t i = 0; i < dressed->count; i++)
        draw_curtain(flow, &dressed->curtains[i], unit);
    if (dressed->repeat > 0)
        unit_text(dressed->repeat, unit, repeat);
    snprintf(text, sizeof text,
             "Heading: %s, fullness %g. Cloth %s wide: %" PRId64
             " widths, %s to buy; pattern repeat: %s. Weight %.1f kg in all.",
             dressed->heading, dressed->fullness, unit_text(dressed->cloth_width, unit, width),
             dressed->widths, unit_text(dressed->cloth, unit, cloth), repeat, dressed->weight / 1000);
    flow_gap(flow, 2);
    flow_paragraph(flow, NULL, text, SHEET_TEXT);
    flow_gap(flow, 4);
}

static void compose(struct flow *flow, const void *data) {
    const struct curtain_sheet *sheet = data;
    char due[24] = "";
    struct flow_head head = {.title = "Curtain maker's sheet",
                             .foot = "Half a width: two curtains share one. Cut drop: with hem and heading, "
                                     "a whole number of repeats."};
    snprintf(head.name, sizeof head.name, "%s", sheet->order);
    snprintf(head.lines[0], sizeof head.lines[0], "%s", sheet->customer);
    if (sheet->due[0])
        snprintf(due, sizeof due, "due %s", sheet->due);
    snprintf(head.lines[1], sizeof head.lines[1], "%s", due);
    snprintf(head.lines[2], sizeof head.lines[2], "Lengths in %s", unit_name(sheet->unit));
    flow_begin(flow, &head);
    for (size_t i = 0; i < sheet->count; i++)
        draw_window(flow, &sheet->windows[i], sheet->unit);
}

bool curtain_sheet_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct curtain_sheet sheet = {.count = 0};
    bool good = read_sheet(document, &sheet, fault) &&
                sheet_flow("curtain maker's sheet", compose, &sheet, pdf, fault);
    free(sheet.windows);
    return good;
}
