/* SPDX-License-Identifier: Apache-2.0 */
/* A label or a sheet: {"kind", "width"?, "height"?, "document"}; without a width it is a sheet. Whatever stands in the document, it is
 * drawn or refused with a reason, and what is drawn is a PDF. */
#include "fuzz.h"
#include "label/sheet.h"

#include <stdlib.h>
#include <string.h>

static void must(bool holds) {
    if (!holds)
        abort();
}

static bool render(const json_t *json, struct label_pdf *pdf, struct fault *fault) {
    struct form form;
    struct label_stock stock = {.code = "fuzz"};
    char kind[32];
    form_open(&form, json, "", fault);
    form_text(&form, "kind", kind, sizeof kind);
    stock.width = form_length_or(&form, "width", 25 * ELL_MM, 420 * ELL_MM, 0);
    stock.height = form_length_or(&form, "height", 6 * ELL_MM, 420 * ELL_MM, 290);
    const json_t *document = json_object_get(json, "document");
    form_has(&form, "document");
    if (!form_close(&form))
        return false;
    return stock.width > 0 ? label_render(kind, &stock, document, pdf, fault)
                           : sheet_render(kind, document, pdf, fault);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    struct label_pdf pdf = {.bytes = NULL};
    json_t *json = document_read((const char *)data, size, &document_small, &fault);
    if (json == NULL)
        return 0;
    if (render(json, &pdf, &fault))
        must(pdf.pages > 0 && pdf.count > 100 && memcmp(pdf.bytes, "%PDF-1.", 7) == 0);
    else
        must(fault.code[0] && fault.message[0] && pdf.bytes == NULL);
    label_pdf_free(&pdf);
    json_decref(json);
    return 0;
}
