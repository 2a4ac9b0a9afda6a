/* SPDX-License-Identifier: Apache-2.0 */
#include "label/stock.h"

const struct label_stock label_stock_a4 = {
    .code = "a4", .name = "A4 paper", .width = 210 * ELL_MM, .height = 297 * ELL_MM};

static bool read_sheet(const json_t *json, const char *path, struct label_stock *stock, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    stock->sheet_width = form_length(&form, "width", 50 * ELL_MM, 420 * ELL_MM);
    stock->sheet_height = form_length(&form, "height", 50 * ELL_MM, 420 * ELL_MM);
    stock->columns = (int)form_integer(&form, "columns", 1, 20);
    stock->rows = (int)form_integer(&form, "rows", 1, 60);
    stock->left = form_length(&form, "left", 0, 420 * ELL_MM);
    stock->top = form_length(&form, "top", 0, 420 * ELL_MM);
    stock->step_x = form_length(&form, "step_x", stock->width, 420 * ELL_MM);
    stock->step_y = form_length(&form, "step_y", stock->height, 420 * ELL_MM);
    if (stock->left + (stock->columns - 1) * stock->step_x + stock->width > stock->sheet_width)
        form_wrong(&form, "columns", "out-of-range",
                   "The last column of labels passes the sheet's right edge.");
    if (stock->top + (stock->rows - 1) * stock->step_y + stock->height > stock->sheet_height)
        form_wrong(&form, "rows", "out-of-range", "The last row of labels passes the sheet's lower edge.");
    return form_close(&form);
}

bool label_stock_read(const json_t *json, const char *path, struct label_stock *stock, struct fault *fault) {
    struct label_stock read = {.columns = 0};
    struct form form;
    char below[128];
    form_open(&form, json, path, fault);
    form_text(&form, "code", read.code, sizeof read.code);
    form_text_or(&form, "name", read.name, sizeof read.name, read.code);
    read.width = form_length(&form, "width", 25 * ELL_MM, 420 * ELL_MM);
    read.height = form_length(&form, "height", 6 * ELL_MM, 420 * ELL_MM);
    read.dots_per_inch = (int)form_integer_or(&form, "dots_per_inch", 100, 2400, 0);
    const json_t *sheet = form_object(&form, "sheet");
    if (!form_close(&form))
        return false;
    if (sheet != NULL && !read_sheet(sheet, form_below(&form, "sheet", -1, below), &read, fault))
        return false;
    *stock = read;
    return true;
}

int label_stock_places(const struct label_stock *stock) {
    return stock->columns > 0 ? stock->columns * stock->rows : 1;
}

ell_length label_stock_page_width(const struct label_stock *stock) {
    return stock->columns > 0 ? stock->sheet_width : stock->width;
}

ell_length label_stock_page_height(const struct label_stock *stock) {
    return stock->columns > 0 ? stock->sheet_height : stock->height;
}
