/* Renders a file of payloads on a stock of a file of stocks, or a file with the document of a sheet:
 *   render KIND STOCKS.json STOCK PAYLOADS.json DPI OUT.pdf
 *   render KIND DOCUMENT.json OUT.pdf
 * SPDX-License-Identifier: Apache-2.0 */
#include "label/label.h"
#include "label/sheet.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool find_stock(const char *path, const char *code, struct label_stock *stock, struct fault *fault) {
    json_t *stocks = document_read_file(path, &document_small, fault);
    bool found = false;
    size_t index;
    json_t *json;
    json_array_foreach(stocks, index, json) {
        if (!found && label_stock_read(json, "stock", stock, fault))
            found = strcmp(stock->code, code) == 0;
    }
    json_decref(stocks);
    return found || fault_set(fault, "unknown-stock", code, "No such label stock could be read.");
}

static bool render_label(char **arguments, struct label_pdf *pdf, struct fault *fault) {
    struct label_stock stock;
    if (!find_stock(arguments[2], arguments[3], &stock, fault))
        return false;
    json_t *payload = document_read_file(arguments[4], &document_large, fault);
    if (payload == NULL)
        return false;
    stock.dots_per_inch = (int)strtol(arguments[5], NULL, 10);
    bool good = label_render(arguments[1], &stock, payload, pdf, fault);
    json_decref(payload);
    return good;
}

static bool render_sheet(char **arguments, struct label_pdf *pdf, struct fault *fault) {
    json_t *document = document_read_file(arguments[2], &document_large, fault);
    if (document == NULL)
        return false;
    bool good = sheet_render(arguments[1], document, pdf, fault);
    json_decref(document);
    return good;
}

int main(int count, char **arguments) {
    struct label_pdf pdf = {.bytes = NULL};
    struct fault fault;
    if (count != 7 && count != 4) {
        fputs("usage: render KIND STOCKS.json STOCK PAYLOADS.json DPI OUT.pdf | render KIND DOCUMENT.json "
              "OUT.pdf\n",
              stderr);
        return 2;
    }
    bool good = label_fonts_check(&fault) &&
                (count == 7 ? render_label(arguments, &pdf, &fault) : render_sheet(arguments, &pdf, &fault));
    if (!good) {
        fprintf(stderr, "%s %s: %s\n", fault.code, fault.where, fault.message);
        return 1;
    }
    FILE *file = fopen(arguments[count - 1], "wb");
    good = file != NULL && fwrite(pdf.bytes, 1, pdf.count, file) == pdf.count;
    good = file != NULL && fclose(file) == 0 && good;
    label_pdf_free(&pdf);
    return good ? 0 : 1;
}
