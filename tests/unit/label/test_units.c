/* SPDX-License-Identifier: Apache-2.0 */
#include "label/units.h"

#include <criterion/criterion.h>
#include <math.h>

/* 1 in = 25.4 mm exactly (ISO 80000-3:2019, annex of units from other systems); the others worked out by hand:
 * 1830.5 / 25.4 = 72.0669, nearest 1/32 is 72 2/32. */
Test(units, inches_as_a_carpenter_says_them) {
    static const struct {
        ell_length length;
        const char *text;
    } cases[] = {{254, "1"}, {127, "1/2"}, {24384, "96"},        {18305, "72 1/16"},         {8, "1/32"},
                 {3, "0"},   {-3, "0"},    {-18305, "-72 1/16"}, {6000 * ELL_MM, "236 7/32"}};
    char text[ELL_LENGTH_TEXT];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        cr_assert_str_eq(unit_figure(cases[i].length, UNIT_INCH, text), cases[i].text);
}

Test(units, centimetres_and_millimetres) {
    char text[ELL_LENGTH_TEXT], whole[UNIT_TEXT];
    cr_assert_str_eq(unit_figure(18305, UNIT_CM, text), "183.05");
    cr_assert_str_eq(unit_figure(18300, UNIT_CM, text), "183");
    cr_assert_str_eq(unit_figure(18350, UNIT_CM, text), "183.5");
    cr_assert_str_eq(unit_figure(1, UNIT_CM, text), "0.01");
    cr_assert_str_eq(unit_figure(-5, UNIT_CM, text), "-0.05");
    cr_assert_str_eq(unit_text(18305, UNIT_MM, whole), "1830.5 mm");
    cr_assert_str_eq(unit_text(254, UNIT_INCH, whole), "1 in");
}

/* What is written is read back, by the reader of what people type, to the nearest 1/32 inch (0.79 mm) or exactly. */
Test(units, are_read_back) {
    for (ell_length length = 1; length < 100000; length += 37)
        for (int unit = UNIT_MM; unit <= UNIT_INCH; unit++) {
            char text[UNIT_TEXT];
            ell_length back;
            unit_text(length, (enum label_unit)unit, text);
            cr_assert(ell_length_parse(text, &back), "%s", text);
            cr_assert_leq(fabs((double)(back - length)), unit == UNIT_INCH ? 4.5 : 0, "%s", text);
        }
}
