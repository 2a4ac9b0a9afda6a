/* SPDX-License-Identifier: Apache-2.0 */
#include "label/label.h"
#include "samples.h"

#include <string.h>

static struct label_pdf render(const char *kind, const struct label_stock *stock, const json_t *payload) {
    struct label_pdf pdf;
    struct fault fault;
    cr_assert(label_render(kind, stock, payload, &pdf, &fault), "%s %s: %s", fault.code, fault.where,
              fault.message);
    return pdf;
}

static bool contains(const struct label_pdf *pdf, const char *text) {
    return memmem(pdf->bytes, pdf->count, text, strlen(text)) != NULL;
}

static const struct label_stock large = {.code = "100x50", .width = 1000, .height = 500};

Test(render, fonts_are_there) {
    struct fault fault;
    cr_assert(label_fonts_check(&fault), "%s", fault.message);
}

Test(render, same_input_same_bytes) {
    for (size_t kind = 0; kind < SAMPLE_KINDS; kind++) {
        json_t *payload = sample_read(sample_kinds[kind]);
        struct label_pdf first = render(sample_kinds[kind], &large, payload);
        struct label_pdf second = render(sample_kinds[kind], &large, payload);
        cr_assert_eq(first.count, second.count);
        cr_assert_arr_eq(first.bytes, second.bytes, first.count);
        cr_assert_not(contains(&first, "/CreationDate"), "a date went into the file");
        label_pdf_free(&first);
        label_pdf_free(&second);
        json_decref(payload);
    }
}

/* 100 mm are 283.4646 points of 1/72 inch. */
Test(render, pages_have_the_stocks_size) {
    json_t *payload = sample_read("piece");
    struct label_pdf pdf = render("piece", &large, payload);
    cr_assert_eq(pdf.pages, json_array_size(payload));
    cr_assert(contains(&pdf, "/MediaBox [ 0 0 283.464567 141.732283 ]"), "not 100 x 50 mm");
    label_pdf_free(&pdf);
    json_decref(payload);
}

Test(render, a_sheet_is_filled_before_the_next) {
    json_t *stocks = sample_read("stocks"), *payloads = sample_read("offcut"), *many = json_array();
    struct label_stock sheet = sample_stock(json_array_get(stocks, json_array_size(stocks) - 1));
    cr_assert_eq(sheet.columns * sheet.rows, 24);
    for (int i = 0; i < 49; i++)
        json_array_append(many, json_array_get(payloads, 0));
    struct label_pdf pdf = render("offcut", &sheet, many);
    cr_assert_eq(pdf.pages, 3);
    cr_assert(contains(&pdf, "/MediaBox [ 0 0 595.275591 841.889764 ]"), "not A4 (ISO 216: 210 x 297 mm)");
    label_pdf_free(&pdf);
    json_decref(stocks);
    json_decref(payloads);
    json_decref(many);
}

static void refuse(const char *kind, const struct label_stock *stock, const char *payload, const char *code,
                   const char *where) {
    struct label_pdf pdf = {.bytes = NULL, .count = 77};
    struct fault fault;
    json_t *json = document_read(payload, strlen(payload), &document_small, &fault);
    cr_assert_not_null(json);
    cr_assert_not(label_render(kind, stock, json, &pdf, &fault), "%s was taken", payload);
    cr_assert_str_eq(fault.code, code, "%s gave %s (%s)", payload, fault.code, fault.message);
    cr_assert_str_eq(fault.where, where, "%s gave %s", payload, fault.where);
    cr_assert_eq(pdf.count, 77, "a failed call changed its output");
    json_decref(json);
}

Test(render, refuses_what_it_cannot_print) {
    static const struct label_stock tiny = {.code = "tiny", .width = 250, .height = 60};
    refuse("poster", &large, "{}", "unknown-label", "poster");
    refuse("piece", &large, "[]", "out-of-range", "");
    refuse("piece", &large, "7", "wrong-type", "piece");
    refuse("bin", &large, "{\"name\":\"A\"}", "missing-field", "bin.code");
    refuse("bin", &large, "{\"code\":\"L5J\",\"name\":\"A\"}", "misread-code", "bin.code");
    refuse("bin", &large, "{\"code\":\"P10484\",\"name\":\"A\"}", "bad-code", "bin.code");
    refuse("bin", &large, "{\"code\":\"L5I\",\"name\":\"A\",\"colour\":\"red\"}", "unknown-field",
           "bin.colour");
    refuse("bin", &tiny, "{\"code\":\"L5I\",\"name\":\"A\"}", "label-too-small", "");
    refuse("kit", &large,
           "{\"code\":\"K311L\",\"order\":\"A\",\"window\":\"W\",\"system\":\"S\",\"parts\":7}", "wrong-type",
           "kit.parts");
}

Test(render, letters_that_no_font_has_are_counted) {
    struct fault fault;
    /* U+E123 is for private use: no font may have it. */
    json_t *json = json_pack("{s:s, s:s, s:s}", "code", "L5I", "name", "A-1", "part", "glider \xEE\x84\xA3");
    struct label_pdf pdf;
    cr_assert(label_render("bin", &large, json, &pdf, &fault), "%s", fault.message);
    cr_assert_eq(pdf.missing, 1);
    label_pdf_free(&pdf);
    json_decref(json);
}

Test(render, a_corded_kit_always_carries_its_caution) {
    json_t *kits = sample_read("kit"), *plain = json_deep_copy(json_array_get(kits, 0));
    json_object_set_new(plain, "corded", json_false());
    struct label_pdf with = render("kit", &large, json_array_get(kits, 0)),
                     without = render("kit", &large, plain);
    cr_assert_gt(with.count, without.count + 200, "the caution left no trace");
    label_pdf_free(&with);
    label_pdf_free(&without);
    json_decref(kits);
    json_decref(plain);
}
