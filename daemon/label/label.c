/* SPDX-License-Identifier: Apache-2.0 */
#include "label/label.h"

#include "label/kinds.h"
#include "label/paint.h"

#include <stdlib.h>
#include <string.h>

enum { LABELS_MOST = 1000 };

static const struct {
    const char *name;
    label_layout *layout;
} kinds[] = {
    {"piece", piece_layout}, {"kit", kit_layout}, {"offcut", offcut_layout},
    {"bar", bar_layout},     {"bin", bin_layout}, {"parcel", parcel_layout},
};

label_layout *label_kind_find(const char *name, struct fault *fault) {
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        if (strcmp(kinds[i].name, name) == 0)
            return kinds[i].layout;
    fault_set(fault, "unknown-label", name,
              "There is no such label. Those known are: piece, kit, offcut, bar, bin, parcel.");
    return NULL;
}

static double mm(ell_length length) {
    return (double)length / 10;
}

void label_on_page(struct page *page, label_layout *layout, const struct label_stock *stock,
                   const json_t *payload, unsigned part, unsigned *parts) {
    double width = mm(stock->width), height = mm(stock->height);
    bool standing = height > width * 1.2;
    page_begin(page, standing ? height : width, standing ? width : height);
    page->turned = standing;
    layout(page, (struct area){0, 0, page->width, page->height}, payload, part, parts);
}

/* A document in the making: on a sheet, `cell` is the place of the next label. */
struct run {
    struct page page;
    struct paint *paint;
    const struct label_stock *stock;
    label_layout *layout;
    int cell;
    bool begun;     /* the sheet has a label on it */
    unsigned pages; /* finished */
    struct label_pdf made;
};

static void finish_page(struct run *run) {
    if (!page_good(&run->page))
        return;
    paint_page(run->paint, &run->page);
    run->pages++;
}

static void flush_sheet(struct run *run) {
    if (run->begun)
        finish_page(run);
    run->begun = false;
}

static void on_sheet(struct run *run, const json_t *payload, unsigned part, unsigned *parts) {
    const struct label_stock *stock = run->stock;
    if (run->cell == label_stock_places(stock)) {
        flush_sheet(run);
        run->cell = 0;
    }
    if (!run->begun)
        page_begin(&run->page, mm(stock->sheet_width), mm(stock->sheet_height));
    int column = run->cell % stock->columns, row = run->cell / stock->columns;
    struct area area = {mm(stock->left + column * stock->step_x), mm(stock->top + row * stock->step_y),
                        mm(stock->width), mm(stock->height)};
    run->layout(&run->page, area, payload, part, parts);
    run->cell++;
    run->begun = true;
}

/* A label on a sheet ends on the page that is not finished yet. */
static void one(struct run *run, const json_t *payload) {
    unsigned parts = 1;
    for (unsigned part = 0; part < parts && page_good(&run->page); part++) {
        if (run->stock->columns > 0) {
            on_sheet(run, payload, part, &parts);
            continue;
        }
        label_on_page(&run->page, run->layout, run->stock, payload, part, &parts);
        finish_page(run);
    }
    run->made.ends[run->made.label_count++] = run->pages + (run->begun ? 1 : 0);
}

static bool make_room(struct run *run, size_t labels) {
    run->made.ends = calloc(labels, sizeof *run->made.ends);
    if (run->made.ends == NULL)
        page_fail(&run->page, "out-of-memory", "There is no memory for so many labels.");
    return run->made.ends != NULL;
}

static void all(struct run *run, const json_t *payload) {
    if (!json_is_array(payload)) {
        if (make_room(run, 1))
            one(run, payload);
    } else if (json_array_size(payload) < 1 || json_array_size(payload) > LABELS_MOST) {
        page_fail(&run->page, "out-of-range", "A list of 1 to 1000 labels is wanted; split it.");
    } else if (make_room(run, json_array_size(payload))) {
        size_t index;
        json_t *label;
        json_array_foreach(payload, index, label) {
            if (page_good(&run->page))
                one(run, label);
        }
    }
    if (run->stock->columns > 0)
        flush_sheet(run);
}

/* Where the next label would come on the last sheet. */
static int free_place(const struct run *run) {
    return run->stock->columns == 0 || run->cell == label_stock_places(run->stock) ? 1 : run->cell + 1;
}

bool label_render(const char *kind, const struct label_stock *stock, const json_t *payload,
                  struct label_pdf *pdf, struct fault *fault) {
    struct run run = {.stock = stock, .layout = label_kind_find(kind, fault)};
    if (run.layout == NULL)
        return false;
    run.paint = paint_open(kind);
    if (run.paint == NULL)
        return fault_memory(fault);
    bool good = page_open(&run.page, fault);
    if (good) {
        run.page.dots_per_inch = stock->dots_per_inch;
        run.cell = stock->used % label_stock_places(stock);
        all(&run, payload);
        good = page_good(&run.page);
    }
    run.made.missing = run.page.missing;
    run.made.free_place = free_place(&run);
    good = paint_close(run.paint, good ? &run.made.bytes : NULL, &run.made.count, &run.made.pages, fault) &&
           good;
    page_close(&run.page);
    if (good)
        *pdf = run.made;
    else
        free(run.made.ends);
    return good;
}

void label_pdf_free(struct label_pdf *pdf) {
    free(pdf->bytes);
    free(pdf->ends);
    *pdf = (struct label_pdf){.bytes = NULL};
}

/* A letter of each script that must be there, and the package that brings it. */
static const struct {
    const char *letter, *package;
} needed[] = {{"Aé", "fonts-dejavu-core"}, {"Ω", "fonts-dejavu-core"},   {"Ж", "fonts-dejavu-core"},
              {"ש", "fonts-dejavu-core"},  {"ع", "fonts-dejavu-core"},   {"ह", "fonts-noto-core"},
              {"ไ", "fonts-noto-core"},    {"漢", "fonts-wqy-microhei"}, {"あ", "fonts-droid-fallback"},
              {"한", "fonts-wqy-microhei"}};

static bool has_main_face(const struct page *page, struct fault *fault) {
    PangoFont *font = pango_context_load_font(page->context, page->plain);
    PangoFontDescription *found = font ? pango_font_describe(font) : NULL;
    bool good = found != NULL && strcmp(pango_font_description_get_family(found), "DejaVu Sans") == 0;
    if (found != NULL)
        pango_font_description_free(found);
    if (font != NULL)
        g_object_unref(font);
    return good || fault_set(fault, "no-font", "",
                             "The font DejaVu Sans is missing; install the package fonts-dejavu-core.");
}

bool label_fonts_check(struct fault *fault) {
    struct page page;
    if (!page_open(&page, fault))
        return false;
    bool good = has_main_face(&page, fault);
    for (size_t i = 0; good && i < sizeof needed / sizeof needed[0]; i++) {
        PangoLayout *layout = pango_layout_new(page.context);
        pango_layout_set_font_description(layout, page.plain);
        pango_layout_set_text(layout, needed[i].letter, -1);
        if (pango_layout_get_unknown_glyphs_count(layout) > 0)
            good = fault_set(fault, "no-font", "", "No font has the letter %s; install the package %s.",
                             needed[i].letter, needed[i].package);
        g_object_unref(layout);
    }
    page_close(&page);
    return good;
}
