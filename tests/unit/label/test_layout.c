/* What a layout promises, proven from its numbers: every text lies whole in its box and on the label, nothing
 * lies on anything else, letters are never too small, and the most important thing is the largest.
 * SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "samples.h"
#include "words.h"

#include <string.h>

static void check_items(const struct page *page, const char *what) {
    struct area whole = {0, 0, page->width, page->height};
    for (size_t i = 0; i < page->count; i++) {
        const struct item *item = &page->items[i];
        const char *text = item->layout ? pango_layout_get_text(item->layout) : "(no text)";
        cr_assert(area_holds(whole, item->ink, 0.01), "%s: \"%s\" leaves the label", what, text);
        cr_assert(item->grey == 0 || item->grey == 1, "%s: \"%s\" is grey", what, text);
        if (item->kind != ITEM_TEXT)
            continue;
        cr_assert(area_holds(item->box, item->ink, 0.01),
                  "%s: \"%s\" leaves its box of %.1f by %.1f: %.1f by %.1f", what, text, item->box.width,
                  item->box.height, item->ink.width, item->ink.height);
        /* Letters of scripts that stack are higher than Latin ones of the same size. */
        bool stacks = item->shortened && item->ink.height > 2.5 && item->points >= LABEL_LEAST * 2 / 3;
        cr_assert(item->points >= LABEL_LEAST || stacks || strcmp(text, "!") == 0, "%s: \"%s\" has %g points",
                  what, text, item->points);
        cr_assert_not(item->essential && item->shortened, "%s: \"%s\" was shortened", what, text);
    }
}

static bool solid(const struct item *item) {
    return item->kind == ITEM_TEXT || item->kind == ITEM_SYMBOL;
}

static void check_apart(const struct page *page, const char *what) {
    for (size_t i = 0; i < page->count; i++)
        for (size_t j = i + 1; j < page->count; j++) {
            const struct item *a = &page->items[i], *b = &page->items[j];
            if (!solid(a) || !solid(b))
                continue;
            /* A symbol's box holds its quiet zone: nothing may be printed there. */
            struct area first = a->kind == ITEM_SYMBOL ? a->box : a->ink;
            struct area second = b->kind == ITEM_SYMBOL ? b->box : b->ink;
            cr_assert_not(area_overlaps(first, second, 0.02), "%s: \"%s\" and \"%s\" overlap", what,
                          a->layout ? pango_layout_get_text(a->layout) : "symbol",
                          b->layout ? pango_layout_get_text(b->layout) : "symbol");
        }
}

/* The largest letters on the page. */
static const struct item *largest(const struct page *page) {
    const struct item *best = NULL;
    for (size_t i = 0; i < page->count; i++)
        if (page->items[i].kind == ITEM_TEXT && (best == NULL || page->items[i].points > best->points))
            best = &page->items[i];
    return best;
}

static void check_largest(const struct page *page, const char *kind, const json_t *payload,
                          const char *what) {
    const struct item *best = largest(page);
    const char *text = pango_layout_get_text(best->layout);
    if (json_object_get(payload, "length") != NULL) {
        char length[UNIT_TEXT];
        ell_length tenths;
        const char *unit = json_string_value(json_object_get(payload, "unit"));
        bool inches = unit != NULL && strcmp(unit, "in") == 0;
        cr_assert(ell_length_from_mm(json_number_value(json_object_get(payload, "length")), &tenths));
        cr_assert_str_eq(text,
                         inches ? unit_text(tenths, UNIT_INCH, length) : ell_length_text(tenths, length),
                         "%s: \"%s\" is the largest", what, text);
    } else if (strcmp(kind, "kit") == 0) {
        const char *order = json_string_value(json_object_get(payload, "order"));
        cr_assert_eq(strncmp(text, order, strlen(order)), 0, "%s: \"%s\" is the largest", what, text);
    }
}

static void check_label(const char *kind, const struct label_stock *stock, const json_t *payload) {
    struct page page;
    struct fault fault;
    unsigned parts = 1;
    char what[160];
    cr_assert(page_open(&page, &fault));
    page.dots_per_inch = stock->dots_per_inch;
    for (unsigned part = 0; part < parts; part++) {
        snprintf(what, sizeof what, "%s %s on %s, part %u", kind,
                 json_string_value(json_object_get(payload, "code")), stock->code, part);
        label_on_page(&page, label_kind_find(kind, &fault), stock, payload, part, &parts);
        cr_assert(page_good(&page), "%s: %s %s %s", what, fault.code, fault.where, fault.message);
        check_items(&page, what);
        check_apart(&page, what);
        check_largest(&page, kind, payload, what);
    }
    page_close(&page);
}

static void check_all(int dots_per_inch) {
    json_t *stocks = sample_read("stocks");
    for (size_t kind = 0; kind < SAMPLE_KINDS; kind++) {
        json_t *payloads = sample_read(sample_kinds[kind]), *json, *payload;
        size_t i, j;
        json_array_foreach(stocks, i, json) {
            struct label_stock stock = sample_stock(json);
            stock.dots_per_inch = dots_per_inch;
            json_array_foreach(payloads, j, payload) check_label(sample_kinds[kind], &stock, payload);
        }
        json_decref(payloads);
    }
    json_decref(stocks);
}

Test(layout, holds_at_203_dots) {
    check_all(203);
}

Test(layout, holds_at_300_dots) {
    check_all(300);
}

Test(layout, holds_when_dots_are_not_known) {
    check_all(0);
}

/* Modules are whole dots, and the symbol begins on one. */
Test(layout, symbols_lie_on_the_printers_dots) {
    static const int densities[] = {203, 300, 600};
    for (size_t i = 0; i < 3; i++) {
        struct page page;
        struct fault fault;
        cr_assert(page_open(&page, &fault));
        page_begin(&page, 100, 50);
        page.dots_per_inch = densities[i];
        page_symbol(&page, (struct area){1.37, 2.91, 17, 17}, SYMBOL_DATA_MATRIX, "P10484");
        page_symbol(&page, (struct area){21.3, 2.91, 60, 10}, SYMBOL_CODE_128, "P10484");
        cr_assert(page_good(&page), "%s", fault.message);
        double dot = symbol_dot(densities[i]);
        for (size_t j = 0; j < page.bar_count; j++) {
            double edges[] = {page.bars[j].x / dot, page.bars[j].width / dot, page.bars[j].y / dot};
            for (int k = 0; k < 3; k++)
                cr_assert_float_eq(edges[k], round(edges[k]), 1e-6, "bar %zu at %d dots", j, densities[i]);
        }
        page_close(&page);
    }
}

/* A label printed again says so, whole, on every stock. */
static void check_reprint(const char *kind, const struct label_stock *stock, const json_t *payload) {
    struct page page;
    struct fault fault;
    unsigned parts;
    bool marked = false;
    cr_assert(page_open(&page, &fault));
    label_on_page(&page, label_kind_find(kind, &fault), stock, payload, 0, &parts);
    cr_assert(page_good(&page), "%s on %s: %s", kind, stock->code, fault.message);
    for (size_t i = 0; i < page.count; i++)
        marked = marked || (page.items[i].layout != NULL && !page.items[i].shortened &&
                            strstr(pango_layout_get_text(page.items[i].layout), "reprint 37") != NULL);
    cr_assert(marked, "%s on %s is not marked", kind, stock->code);
    check_items(&page, kind);
    check_apart(&page, kind);
    page_close(&page);
}

Test(layout, reprints_are_marked) {
    json_t *stocks = sample_read("stocks");
    for (size_t kind = 0; kind < SAMPLE_KINDS; kind++) {
        json_t *payloads = sample_read(sample_kinds[kind]), *json, *payload;
        size_t i, j;
        json_array_foreach(payloads, j, payload) {
            json_object_set_new(payload, "reprint", json_integer(37));
            json_array_foreach(stocks, i, json) {
                struct label_stock stock = sample_stock(json);
                check_reprint(sample_kinds[kind], &stock, payload);
            }
        }
        json_decref(payloads);
    }
    json_decref(stocks);
}

/* Where a label and the cut sheet must agree, and where a part's name must not be cut off. */
static bool stands_whole(const struct page *page, const char *text) {
    for (size_t i = 0; i < page->count; i++)
        if (page->items[i].layout != NULL && !page->items[i].shortened &&
            strstr(pango_layout_get_text(page->items[i].layout), text) != NULL)
            return true;
    return false;
}

Test(layout, a_piece_names_its_place_in_the_sawing_order) {
    static const char *const on[] = {"100x50", "62x29", "89x36", "strip", "upright", "sheet"};
    json_t *stocks = sample_read("stocks"), *pieces = sample_read("piece"), *json;
    struct page page;
    struct fault fault;
    size_t at;
    cr_assert(page_open(&page, &fault));
    json_array_foreach(stocks, at, json) {
        struct label_stock stock = sample_stock(json);
        bool wanted = false;
        for (size_t i = 0; i < sizeof on / sizeof on[0]; i++)
            wanted = wanted || strcmp(stock.code, on[i]) == 0;
        unsigned parts;
        label_on_page(&page, piece_layout, &stock, json_array_get(pieces, 0), 0, &parts);
        cr_assert(page_good(&page));
        cr_assert(!wanted || stands_whole(&page, "14-2"), "%s: no \"14-2\"", stock.code);
        cr_assert(!wanted || stands_whole(&page, "S1 plan 27"), "%s: no saw and plan", stock.code);
    }
    page_close(&page);
    json_decref(stocks);
    json_decref(pieces);
}

/* Names too long for two columns take the whole width, on as many labels as that needs. */
Test(layout, names_of_parts_stand_whole) {
    static const struct label_stock large = {.code = "100x50", .width = 1000, .height = 500};
    static const char name[] = "Heavy mounting bracket, anodised bronze";
    json_t *kits = sample_read("kit"), *kit = json_array_get(kits, 0), *part;
    struct page page;
    struct fault fault;
    unsigned parts = 1, whole = 0;
    size_t at;
    json_array_foreach(json_object_get(kit, "parts"), at, part)
        json_object_set_new(part, "name", json_string(name));
    size_t count = at;
    cr_assert(page_open(&page, &fault));
    for (unsigned label = 0; label < parts; label++) {
        label_on_page(&page, kit_layout, &large, kit, label, &parts);
        cr_assert(page_good(&page), "%s", fault.message);
        for (size_t i = 0; i < page.count; i++)
            whole += page.items[i].layout != NULL && !page.items[i].shortened &&
                     strcmp(pango_layout_get_text(page.items[i].layout), name) == 0;
    }
    cr_assert_eq(whole, count, "%u of %zu names", whole, count);
    page_close(&page);
    json_decref(kits);
}

/* LABEL_LEAST is chosen so that capitals are at least 1.5 mm high. */
Test(layout, the_least_letters_are_high_enough) {
    static const struct text_style least = {.most = LABEL_LEAST, .least = LABEL_LEAST, .tight = true};
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    page_begin(&page, 100, 50);
    cr_assert_geq(page_text(&page, (struct area){0, 0, 50, 10}, &least, "H").height, 1.5);
    page_close(&page);
}

/* A label in each unit: the figure in it, and the millimetres for the saw. */
static void check_unit(const char *kind, const struct label_stock *stock, json_t *payload, const char *unit) {
    struct page page;
    struct fault fault;
    unsigned parts;
    char mm[ELL_LENGTH_TEXT], what[96];
    ell_length length;
    bool told = false;
    cr_assert(ell_length_from_mm(json_number_value(json_object_get(payload, "length")), &length));
    ell_length_text(length, mm);
    snprintf(what, sizeof what, "%s %s on %s in %s", kind, mm, stock->code, unit);
    cr_assert(page_open(&page, &fault));
    json_object_set_new(payload, "unit", json_string(unit));
    label_on_page(&page, label_kind_find(kind, &fault), stock, payload, 0, &parts);
    cr_assert(page_good(&page), "%s: %s", what, fault.message);
    check_items(&page, what);
    check_apart(&page, what);
    for (size_t i = 0; i < page.count; i++)
        told = told || (page.items[i].layout != NULL &&
                        strncmp(pango_layout_get_text(page.items[i].layout), mm, strlen(mm)) == 0);
    cr_assert(told, "%s: no millimetres", what);
    page_close(&page);
}

Test(layout, holds_in_every_unit) {
    static const char *const kinds[] = {"piece", "offcut", "bar"}, *const units[] = {"cm", "in"};
    json_t *stocks = sample_read("stocks"), *json, *payload;
    size_t i, j;
    for (int kind = 0; kind < 3; kind++) {
        json_t *payloads = sample_read(kinds[kind]);
        json_array_foreach(stocks, i, json) {
            struct label_stock stock = sample_stock(json);
            json_array_foreach(payloads, j, payload) {
                for (int unit = 0; unit < 2; unit++)
                    check_unit(kinds[kind], &stock, payload, units[unit]);
            }
        }
        json_decref(payloads);
    }
    json_decref(stocks);
}

/* ---- any text at all ---- */

static unsigned long long seed = 20261125;

static unsigned draw(unsigned below) {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (unsigned)(seed >> 33) % below;
}

/* Up to `most` bytes of letters from many scripts, marks that pile up, signs that mean something elsewhere. */
static json_t *any_text(size_t most) {
    static const char *const bits[] = {"a",
                                       "W",
                                       "mm",
                                       " ",
                                       " ",
                                       "<b>",
                                       "&amp;",
                                       "%s",
                                       "\\",
                                       "\"",
                                       "\xCC\x81",
                                       "\xCC\xA3",
                                       "ß",
                                       "Ж",
                                       "ع",
                                       "ש",
                                       "ह",
                                       "ไ",
                                       "ி",
                                       "漢",
                                       "\xF0\x9F\x98\x80",
                                       "\xE2\x80\xAE",
                                       "\xE2\x80\x8D",
                                       "\xE2\x80\xA8",
                                       "·",
                                       "1830.5",
                                       "iiiiii",
                                       "MMMMMMMM"};
    char text[512] = "x";
    size_t length = 1, count = draw(60);
    for (size_t i = 0; i < count; i++) {
        const char *bit = bits[draw(sizeof bits / sizeof bits[0])];
        if (length + strlen(bit) >= most)
            break;
        memcpy(text + length, bit, strlen(bit) + 1);
        length += strlen(bit);
    }
    return json_string(text);
}

/* Puts a text of `make` into each text field that is no code, date or choice. */
static void scramble(json_t *payload, json_t *(*make)(size_t most)) {
    static const struct {
        const char *name;
        size_t most;
    } fields[] = {{"order", 64},    {"window", 64}, {"room", 128}, {"system", 64}, {"finish", 64},
                  {"batch", 64},    {"saw", 64},    {"place", 64}, {"name", 48},   {"part", 64},
                  {"customer", 96}, {"note", 96},   {"bin", 48}};
    const char *key;
    json_t *value;
    json_object_foreach(payload, key, value) {
        for (size_t i = 0; json_is_string(value) && i < sizeof fields / sizeof fields[0]; i++)
            if (strcmp(fields[i].name, key) == 0) {
                json_object_set_new(payload, key, make(fields[i].most));
                break;
            }
        size_t index;
        json_t *below;
        json_array_foreach(value, index, below) {
            if (json_is_object(below))
                scramble(below, make);
        }
    }
}

static void check_any(const char *kind, const struct label_stock *stock, const json_t *payload,
                      unsigned *laid) {
    struct page page;
    struct fault fault;
    unsigned parts;
    cr_assert(page_open(&page, &fault));
    label_on_page(&page, label_kind_find(kind, &fault), stock, payload, 0, &parts);
    if (page_good(&page)) {
        check_apart(&page, kind);
        for (size_t i = 0; i < page.count; i++)
            cr_assert_not(page.items[i].essential && page.items[i].shortened);
        *laid += 1;
    } else {
        cr_assert_str_eq(fault.code, "label-too-small", "%s on %s: %s %s", kind, stock->code, fault.code,
                         fault.where);
    }
    page_close(&page);
}

Test(layout, any_text_is_laid_out_or_refused) {
    json_t *stocks = sample_read("stocks");
    unsigned laid = 0, tried = 0;
    for (int round = 0; round < 25; round++)
        for (size_t kind = 0; kind < SAMPLE_KINDS; kind++) {
            json_t *payloads = sample_read(sample_kinds[kind]), *payload = json_array_get(payloads, 0);
            scramble(payload, any_text);
            struct label_stock stock =
                sample_stock(json_array_get(stocks, draw((unsigned)json_array_size(stocks))));
            check_any(sample_kinds[kind], &stock, payload, &laid);
            tried++;
            json_decref(payloads);
        }
    cr_assert_gt(laid, tried / 2, "only %u of %u", laid, tried);
    json_decref(stocks);
}

/* ---- long names in every script ---- */

/* As many words as `most` bytes hold: names far longer than any label. */
static json_t *long_name(size_t most) {
    char text[512] = "";
    size_t length = 0;
    for (int tries = 0; tries < 30; tries++) {
        const char *word = words[draw(WORDS)];
        if (length + strlen(word) + 1 >= most)
            continue;
        length += (size_t)snprintf(text + length, sizeof text - length, "%s%s", length ? " " : "", word);
    }
    return json_string(length ? text : "x");
}

/* Every text lies whole in its box, shortened where it must be, whatever the script and the label's size. */
static void check_names(const char *kind, const struct label_stock *stock, const json_t *payload,
                        unsigned *laid) {
    struct page page;
    struct fault fault;
    unsigned parts = 1;
    char what[160];
    cr_assert(page_open(&page, &fault));
    page.dots_per_inch = stock->dots_per_inch;
    for (unsigned part = 0; part < parts; part++) {
        snprintf(what, sizeof what, "%s on %s, part %u", kind, stock->code, part);
        label_on_page(&page, label_kind_find(kind, &fault), stock, payload, part, &parts);
        if (!page_good(&page)) {
            /* What may not be shortened can be too long: an order's number, a bin's name, a caution. */
            cr_assert_str_eq(fault.code, "label-too-small", "%s: %s %s", what, fault.code, fault.message);
            break;
        }
        check_items(&page, what);
        check_apart(&page, what);
        cr_assert_eq(page.missing, 0, "%s", what);
        *laid += 1;
    }
    page_close(&page);
}

Test(layout, long_names_in_every_script) {
    json_t *stocks = sample_read("stocks"), *json;
    unsigned laid = 0, tried = 0;
    size_t at;
    for (int round = 0; round < 2; round++)
        for (size_t kind = 0; kind < SAMPLE_KINDS; kind++) {
            json_t *payloads = sample_read(sample_kinds[kind]), *payload = json_array_get(payloads, 0);
            scramble(payload, long_name);
            json_array_foreach(stocks, at, json) {
                struct label_stock stock = sample_stock(json);
                stock.dots_per_inch = round % 2 ? 203 : 300;
                check_names(sample_kinds[kind], &stock, payload, &laid);
                tried++;
            }
            json_decref(payloads);
        }
    cr_assert_gt(laid, tried / 2, "only %u of %u", laid, tried);
    json_decref(stocks);
}
