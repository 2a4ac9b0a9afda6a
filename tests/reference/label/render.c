/* Renders a file of payloads on a stock of a file of stocks: render KIND STOCKS.json STOCK PAYLOADS.json DPI
 * OUT.pdf SPDX-License-Identifier: Apache-2.0 */
#include "label/label.h"

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

int main(int count, char **arguments) {
    struct label_stock stock;
    struct label_pdf pdf = {.bytes = NULL};
    struct fault fault;
    if (count != 7) {
        fputs("usage: render KIND STOCKS.json STOCK PAYLOADS.json DPI OUT.pdf\n", stderr);
        return 2;
    }
    json_t *payload = NULL;
    bool good = label_fonts_check(&fault) && find_stock(arguments[2], arguments[3], &stock, &fault) &&
                (payload = document_read_file(arguments[4], &document_large, &fault)) != NULL;
    if (good) {
        stock.dots_per_inch = atoi(arguments[5]); // NOLINT(cert-err34-c): a test's own argument
        good = label_render(arguments[1], &stock, payload, &pdf, &fault);
    }
    json_decref(payload);
    FILE *file = good ? fopen(arguments[6], "wb") : NULL;
    if (!good)
        fprintf(stderr, "%s %s: %s\n", fault.code, fault.where, fault.message);
    good = file != NULL && fwrite(pdf.bytes, 1, pdf.count, file) == pdf.count;
    good = file != NULL && fclose(file) == 0 && good;
    label_pdf_free(&pdf);
    return good ? 0 : 1;
}
