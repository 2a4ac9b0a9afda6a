/* The sheet of control codes that hangs at a bench: scanned instead of typing. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "label/sheets.h"

#include <stdlib.h>

enum { CONTROLS = 100 };

struct control_code {
    char code[CODE_TEXT], name[32], what[160];
};
struct control_codes {
    size_t count;
    struct control_code codes[CONTROLS];
};

static bool read_codes(const json_t *json, struct control_codes *sheet, struct fault *fault) {
    struct form form;
    size_t index;
    json_t *row;
    char path[128];
    form_open(&form, json, "", fault);
    const json_t *codes = form_array(&form, "codes", 1, CONTROLS);
    if (!form_close(&form))
        return false;
    json_array_foreach(codes, index, row) {
        struct control_code *code = &sheet->codes[sheet->count++];
        struct form inner;
        form_open(&inner, row, form_below(&form, "codes", (long)index, path), fault);
        form_code(&inner, CODE_CONTROL, code->code);
        form_text(&inner, "name", code->name, sizeof code->name);
        form_text_or(&inner, "what", code->what, sizeof code->what, "");
        if (!form_close(&inner))
            return false;
    }
    return true;
}

/* Far enough apart that a scanner held at one does not see its neighbour. */
static void draw_code(struct page *page, struct area cell, double size, const struct control_code *code) {
    static const struct text_style name = {.most = 22, .least = 9, .bold = true, .settle = SETTLE_BOTTOM};
    static const struct text_style what = {.most = 9.5, .least = 7, .lines = 2, .settle = SETTLE_TOP};
    static const struct text_style small = {.most = 7, .least = 6, .settle = SETTLE_TOP};
    struct area symbol =
        page_symbol(page, (struct area){cell.x, cell.y, size, size}, SYMBOL_DATA_MATRIX, code->code);
    area_left(&cell, symbol.x + symbol.width + 2 - cell.x);
    page_text(page, area_top(&cell, size * 0.45), &name, code->name);
    page_text(page, area_top(&cell, 9), &what, code->what);
    page_text(page, area_top(&cell, 4), &small, code->code);
}

/* Those that say what they do two in a row, the others (figures) four. */
static void draw_codes(struct flow *flow, const struct control_codes *sheet) {
    struct area strip = {0};
    int place = 0, columns = 0;
    for (size_t i = 0; i < sheet->count; i++) {
        const struct control_code *code = &sheet->codes[i];
        int wanted = code->what[0] != '\0' ? 2 : 4;
        if (wanted != columns || place == columns) {
            strip = flow_take(flow, wanted == 2 ? 30 : 24);
            columns = wanted;
            place = 0;
        }
        struct area cell = area_left(&strip, 188.0 / columns);
        draw_code(&flow->page, area_inset(cell, 1, 2), columns == 2 ? 26 : 18, code);
        place++;
    }
}

static void compose(struct flow *flow, const void *data) {
    struct flow_head head = {
        .title = "Control codes",
        .name = "Bench",
        .lines = {"Scan instead of typing, in: ellwand bench", "", ""},
        .foot = "Cover the neighbours of a code with a hand when the scanner reads the wrong one."};
    flow_begin(flow, &head);
    draw_codes(flow, data);
}

bool control_codes_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct control_codes *sheet = calloc(1, sizeof *sheet);
    if (sheet == NULL)
        return fault_memory(fault);
    bool good = read_codes(document, sheet, fault) && sheet_flow("control codes", compose, sheet, pdf, fault);
    free(sheet);
    return good;
}
