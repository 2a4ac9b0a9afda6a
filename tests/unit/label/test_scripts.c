/* Names come in every script: each letter has a picture, those from right to left run from right to left and join, and
 * what is mixed keeps its order. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"
#include "samples.h"
#include "words.h"

#include <string.h>

static PangoLayout *lay(struct page *page, const char *text) {
    static const struct text_style style = {.most = 12, .least = 8};
    page_begin(page, 200, 50);
    page_text(page, (struct area){5, 5, 190, 30}, &style, text);
    cr_assert(page_good(page));
    cr_assert_eq(page->count, 1);
    return page->items[0].layout;
}

/* Glyph 0 is the empty box of a font that lacks the letter. */
static void check_glyphs(PangoLayout *layout, const char *what) {
    PangoLayoutIter *at = pango_layout_get_iter(layout);
    do {
        PangoLayoutRun *run = pango_layout_iter_get_run_readonly(at);
        for (int i = 0; run != NULL && i < run->glyphs->num_glyphs; i++) {
            PangoGlyph glyph = run->glyphs->glyphs[i].glyph;
            cr_assert_neq(glyph, 0, "%s: glyph 0", what);
            cr_assert_eq(glyph != PANGO_GLYPH_EMPTY && (glyph & PANGO_GLYPH_UNKNOWN_FLAG), 0, "%s: no glyph",
                         what);
        }
    } while (pango_layout_iter_next_run(at));
    pango_layout_iter_free(at);
}

Test(scripts, every_letter_has_a_picture) {
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    for (size_t i = 0; i < WORDS; i++) {
        PangoLayout *layout = lay(&page, words[i]);
        cr_assert_eq(page.missing, 0, "%s: %u letters without a font", words[i], page.missing);
        check_glyphs(layout, words[i]);
        cr_assert_gt(page.items[0].ink.width, 2, "%s left no ink", words[i]);
    }
    page_close(&page);
}

/* Also a letter that no font has, for private use, and a number of no character at all. */
Test(scripts, a_missing_letter_is_never_a_box) {
    static const char *const lacking[] = {"A\xEE\x84\xA3Z", "A\xF3\xB0\x80\x80Z", "\xF4\x8F\xBF\xBD"};
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    for (unsigned i = 0; i < 3; i++) {
        PangoLayout *layout = lay(&page, lacking[i]);
        check_glyphs(layout, lacking[i]);
        cr_assert_eq(page.missing, i + 1);
        cr_assert_not_null(strstr(pango_layout_get_text(layout), "\xEF\xBF\xBD"));
    }
    page_close(&page);
}

/* Where the character at `byte` begins, in Pango units. */
static int place_of(PangoLayout *layout, int byte) {
    PangoRectangle place;
    pango_layout_index_to_pos(layout, byte, &place);
    return place.x;
}

Test(scripts, right_to_left_runs_so_and_latin_does_not) {
    static const char *const leftwards[] = {"מטבח", "مطبخ", "ܒܝܬܐ", "ބަދިގެ"};
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    for (size_t i = 0; i < 4; i++) {
        PangoLayout *layout = lay(&page, leftwards[i]);
        cr_assert_gt(place_of(layout, 0), place_of(layout, 4), "%s", leftwards[i]);
    }
    PangoLayout *latin = lay(&page, "Kitchen");
    cr_assert_lt(place_of(latin, 0), place_of(latin, 4));
    page_close(&page);
}

static PangoGlyph glyph_of(struct page *page, const char *text, int at) {
    PangoLayout *layout = lay(page, text);
    return pango_layout_get_line_readonly(layout, 0)->runs->data
               ? ((PangoLayoutRun *)pango_layout_get_line_readonly(layout, 0)->runs->data)
                     ->glyphs->glyphs[at]
                     .glyph
               : 0;
}

/* Arabic letters change with what stands beside them: three of one kind in a row look different, and none looks as it does
 * alone (The Unicode Standard, chapter 9.2, cursive joining). */
Test(scripts, arabic_letters_join) {
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    PangoGlyph alone = glyph_of(&page, "ع", 0), forms[3];
    for (int i = 0; i < 3; i++) {
        forms[i] = glyph_of(&page, "ععع", i);
        cr_assert_neq(forms[i], alone);
        for (int j = 0; j < i; j++)
            cr_assert_neq(forms[i], forms[j]);
    }
    page_close(&page);
}

/* Parts joined in a line stand in the order given, whatever runs which way within them (UAX 9, isolates). */
Test(scripts, joined_parts_keep_their_order) {
    static const char *const parts[][3] = {{"مطبخ 2", "Lark", "بني"},
                                           {"מטבח", "לבן 20", "12"},
                                           {"kitchen", "מטבח", "white"},
                                           {"\xE2\x80\xAE"
                                            "abc",
                                            "Lark", "white"},
                                           {"\xE2\x80\xAE\xE2\x81\xA9"
                                            "abc",
                                            "Lark", "white"}};
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        char joined[256];
        PangoLayout *layout =
            lay(&page, motif_join(joined, sizeof joined, parts[i][0], parts[i][1], parts[i][2]));
        const char *text = pango_layout_get_text(layout);
        const char *dot = strstr(text, "·"), *second = strstr(dot + 1, "·");
        const char *last = strstr(second, parts[i][2]);
        cr_assert(dot != NULL && second != NULL && last != NULL);
        cr_assert_lt(place_of(layout, (int)(dot - text)), place_of(layout, (int)(second - text)), "%s", text);
        cr_assert_lt(place_of(layout, (int)(second - text)), place_of(layout, (int)(last - text)), "%s",
                     text);
        check_glyphs(layout, text);
    }
    page_close(&page);
}

/* A line end of any kind must not make a second line. */
Test(scripts, one_paragraph_whatever_ends_lines) {
    static const char *const broken[] = {"a\nb",
                                         "a\tb",
                                         "a\r\nb",
                                         "a\xC2\x85"
                                         "b",
                                         "a\xE2\x80\xA8"
                                         "b",
                                         "a\xE2\x80\xA9"
                                         "b"};
    struct page page;
    struct fault fault;
    cr_assert(page_open(&page, &fault));
    for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++) {
        PangoLayout *layout = lay(&page, broken[i]);
        cr_assert_eq(pango_layout_get_line_count(layout), 1, "text %zu", i);
        cr_assert_eq(strspn(pango_layout_get_text(layout), "ab "), strlen(pango_layout_get_text(layout)));
    }
    page_close(&page);
}
