/* SPDX-License-Identifier: Apache-2.0 */
#include "common/fault.h"
#include "common/text.h"

#include <criterion/criterion.h>
#include <string.h>

Test(text, copy_never_cuts_a_character_in_two) {
    char target[6];
    cr_assert(text_copy(target, sizeof target, "abcde"));
    cr_assert_str_eq(target, "abcde");
    cr_assert_not(text_copy(target, sizeof target, "abcd\xC3\xA9"));
    cr_assert_str_eq(target, "abcd");
    cr_assert_not(text_copy(target, sizeof target, "ab\xF0\x9F\x98\x80"));
    cr_assert_str_eq(target, "ab");
    cr_assert_not(text_copy(target, 1, "x"));
    cr_assert_str_eq(target, "");
}

/* Ill-formed sequences as listed in The Unicode Standard, chapter 3, table 3-7 (well-formed UTF-8 byte
 * sequences). */
Test(text, check_refuses_ill_formed_utf8_and_control_characters) {
    static const char *bad[] = {"\x80",
                                "\xC0\x80",
                                "\xC1\xBF",
                                "\xE0\x9F\xBF",
                                "\xED\xA0\x80",
                                "\xF0\x8F\xBF\xBF",
                                "\xF4\x90\x80\x80",
                                "\xF5\x80\x80\x80",
                                "\xC3",
                                "\xE2\x82",
                                "a\x01",
                                "a\x7F",
                                "a\x1B[31m"};
    static const char *good[] = {
        "", "abc", "\xC3\xA9", "\xE2\x82\xAC", "\xF0\x9F\x98\x80", "\xED\x9F\xBF", "a\tb\n"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        cr_assert_eq(text_check(bad[i], 100), -1, "bad text %zu was taken", i);
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        cr_assert_eq(text_check(good[i], 100), (long)strlen(good[i]), "good text %zu was refused", i);
    cr_assert_eq(text_check("abcdef", 5), -1);
}

Test(text, mending_leaves_what_is_right_and_makes_the_rest_printable) {
    static const char *pairs[][2] = {{"abc \xC3\xA9\n", "abc \xC3\xA9\n"},
                                     {"\xD9\xA4\xA4x", "\xD9\xA4?x"},
                                     {"a\x1B[31m\x7F", "a?[31m?"},
                                     {"cut \xE2\x82", "cut ??"},
                                     {"\xED\xA0\x80", "???"}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        char text[32];
        cr_assert(text_copy(text, sizeof text, pairs[i][0]));
        text_mend(text);
        cr_assert_str_eq(text, pairs[i][1], "text %zu became %s", i, text);
        cr_assert_geq(text_check(text, 100), 0);
    }
}

Test(fault, quotes_any_bytes_and_stays_text) {
    struct fault fault;
    char quoted[700];
    memset(quoted, '\xC3', sizeof quoted - 1);
    quoted[sizeof quoted - 1] = '\0';
    fault_set(&fault, "bad-text", quoted, "This is not text: %s", quoted);
    cr_assert_geq(text_check(fault.message, sizeof fault.message), 0);
    cr_assert_geq(text_check(fault.where, sizeof fault.where), 0);
}
