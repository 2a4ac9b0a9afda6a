/* SPDX-License-Identifier: Apache-2.0 */
#include "label/sheets.h"

#include <string.h>

static const struct {
    const char *name;
    sheet_maker *render;
} kinds[] = {
    {"cut-sheet", cut_sheet_render},         {"pick-list", pick_list_render},
    {"packing-list", packing_list_render},   {"dispatch-note", dispatch_note_render},
    {"fitting-sheet", fitting_sheet_render}, {"count-sheet", count_sheet_render},
    {"curtain-sheet", curtain_sheet_render}, {"measuring-sheet", measuring_sheet_render},
    {"control-codes", control_codes_render},
};

bool sheet_render(const char *kind, const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        if (strcmp(kinds[i].name, kind) == 0)
            return kinds[i].render(document, pdf, fault);
    return fault_set(
        fault, "unknown-sheet", kind,
        "There is no such sheet. Those known are: cut-sheet, pick-list, packing-list, "
        "dispatch-note, fitting-sheet, count-sheet, curtain-sheet, measuring-sheet, control-codes.");
}

bool sheet_flow(const char *title, flow_compose *compose, const void *data, struct label_pdf *pdf,
                struct fault *fault) {
    struct label_pdf made = {.free_place = 1};
    if (!flow_render(title, compose, data, fault, &made.bytes, &made.count, &made.pages, &made.missing))
        return false;
    *pdf = made;
    return true;
}
