/* SPDX-License-Identifier: Apache-2.0 */
#include <criterion/criterion.h>
#include <ellwand/length.h>

struct reading {
    const char *text;
    bool good;
    ell_length tenths;
};

Test(length, reads_what_people_type) {
    static const struct reading readings[] = {
        {"1830", true, 18300},
        {"1874.5", true, 18745},
        {"183 cm", true, 18300},
        {"183cm", true, 18300},
        {"1.83 m", true, 18300},
        {"72 in", true, 18288},
        {"72 1/2 in", true, 18415},
        {"1/2 in", true, 127},
        {"5/0 in", false, 0},
        {"5/ in", false, 0},
        {"72.5\"", true, 18415},
        {"6 ft", true, 18288},
        {"0", true, 0},
        {" 12 ", true, 120},
        {"12.25", false, 0},
        {"-5", false, 0},
        {"12 furlongs", false, 0},
        {"", false, 0},
        {"1e3", false, 0},
        {"nan", false, 0},
        {"inf", false, 0},
        {"1 2", false, 0},
        {"1/0 in", false, 0},
        {"72 1/0 in", false, 0},
        {"999999999999", false, 0},
        {"12 mm x", false, 0},
    };
    for (size_t i = 0; i < sizeof readings / sizeof readings[0]; i++) {
        ell_length length = -7;
        bool good = ell_length_parse(readings[i].text, &length);
        cr_assert_eq(good, readings[i].good, "\"%s\" was %s", readings[i].text, good ? "taken" : "refused");
        cr_assert_eq(length, good ? readings[i].tenths : -7, "\"%s\" gave %ld", readings[i].text,
                     (long)length);
    }
}

Test(length, text_shows_the_tenth_only_when_there_is_one) {
    char text[ELL_LENGTH_TEXT];
    cr_assert_str_eq(ell_length_text(18300, text), "1830");
    cr_assert_str_eq(ell_length_text(18745, text), "1874.5");
    cr_assert_str_eq(ell_length_text(-5, text), "-0.5");
    cr_assert_str_eq(ell_length_text(0, text), "0");
}

Test(length, refuses_finer_than_a_tenth_and_keeps_the_output) {
    ell_length length = 42;
    cr_assert_not(ell_length_from_mm(1.23, &length));
    cr_assert_not(ell_length_from_mm(1e300, &length));
    cr_assert_not(ell_length_from_mm((double)__builtin_nan(""), &length));
    cr_assert_eq(length, 42);
    cr_assert(ell_length_from_mm(0.1 + 0.2, &length));
    cr_assert_eq(length, 3);
}
