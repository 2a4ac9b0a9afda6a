/* SPDX-License-Identifier: Apache-2.0 */
#include "label/code.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

/* ISO/IEC 7064 MOD 37-2 as used for blood donation numbers: G123498654321 -> H is the example of the ISBT 128
 * Standard Technical Specification (ICCBBA ST-001), from memory; the second is the example in the manual of
 * the library python-stdnum, stdnum.iso7064.mod_37_2. */
Test(code, published_check_characters) {
    cr_assert_eq(code_check("G123498654321"), 'H');
    cr_assert_eq(code_check("G123489654321"), 'Y');
    cr_assert_eq(code_check("G12 3"), '\0');
}

/* The standard's own definition: with the check character appended, the sum of a_i 2^(i-1) is 1 modulo 37. */
Test(code, sum_of_powers_is_one) {
    static const char alphabet[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
    for (int64_t id = 1; id < 2000; id++) {
        char text[CODE_TEXT];
        code_write((enum code_kind)(id % CODE_KINDS), id * id, text);
        int sum = 0, power = 1;
        for (size_t i = strlen(text); i-- > 0; power = power * 2 % 37)
            sum = (sum + (int)(strchr(alphabet, text[i]) - alphabet) * power) % 37;
        cr_assert_eq(sum, 1, "%s", text);
    }
}

Test(code, reads_what_it_writes) {
    static const int64_t ids[] = {1, 9, 10, 1048, 999999, 4294967296, INT64_MAX};
    struct fault fault;
    for (size_t kind = 0; kind < CODE_KINDS; kind++)
        for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
            char text[CODE_TEXT], typed[CODE_TEXT + 4];
            struct code code;
            code_write((enum code_kind)kind, ids[i], text);
            cr_assert_lt(strlen(text), CODE_TEXT);
            snprintf(typed, sizeof typed, " %s\r\n", text);
            typed[1] = (char)(typed[1] + 'a' - 'A');
            cr_assert(code_read(typed, &code, &fault), "%s: %s", text, fault.message);
            cr_assert_eq(code.kind, kind);
            cr_assert_eq(code.id, ids[i]);
            cr_assert_eq(code.issue, 0);
        }
}

/* Letters count as the columns of a spreadsheet do: A to Z, AA to ZZ, AAA. */
Test(code, tells_the_issues_of_a_label_apart) {
    static const struct {
        int issue;
        const char *letters;
    } cases[] = {{1, "A"}, {26, "Z"}, {27, "AA"}, {52, "AZ"}, {702, "ZZ"}, {703, "AAA"}, {999, "ALK"}};
    struct fault fault;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[CODE_TEXT], expected[CODE_TEXT];
        struct code code = {CODE_PIECE, 1048, cases[i].issue}, read;
        code_write_issue(&code, text);
        snprintf(expected, sizeof expected, "P1048%s", cases[i].letters);
        cr_assert_eq(strncmp(text, expected, strlen(expected)), 0, "%s", text);
        cr_assert_eq(strlen(text), strlen(expected) + 1);
        cr_assert(code_read(text, &read, &fault), "%s: %s", text, fault.message);
        cr_assert(read.kind == CODE_PIECE && read.id == 1048 && read.issue == cases[i].issue, "%s", text);
    }
    struct code longest = {CODE_ORDER, INT64_MAX, CODE_ISSUE_MOST}, read;
    char text[CODE_TEXT];
    cr_assert_eq(strlen(code_write_issue(&longest, text)), CODE_TEXT - 1);
    cr_assert(code_read(text, &read, &fault) && read.id == INT64_MAX && read.issue == CODE_ISSUE_MOST);
    longest.issue = CODE_ISSUE_MOST + 1;
    cr_assert_not(code_read(code_write_issue(&longest, text), &read, &fault));
}

/* MOD 37-2 finds every wrong character and every swap of neighbours. */
Test(code, finds_every_single_error_and_swap) {
    static const char alphabet[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
    char good[CODE_TEXT] = "", bad[CODE_TEXT];
    struct code code = {CODE_KIT, 7, 0};
    struct fault fault;
    code_write(CODE_PIECE, 98172635, good);
    for (size_t i = 0; good[i]; i++) {
        for (const char *other = alphabet; *other; other++) {
            memcpy(bad, good, sizeof bad);
            bad[i] = *other;
            cr_assert(*other == good[i] || !code_read(bad, &code, &fault), "%s was taken for %s", bad, good);
        }
        memcpy(bad, good, sizeof bad);
        bad[i] = good[i + 1];
        bad[i + 1] = good[i];
        cr_assert(good[i + 1] == '\0' || good[i] == good[i + 1] || !code_read(bad, &code, &fault), "%s", bad);
    }
    cr_assert_eq(code.kind, CODE_KIT, "a failed call changed its output");
    cr_assert_eq(code.id, 7);
}

Test(code, refuses_what_is_no_code) {
    static const char *const bad[] = {"",
                                      " ",
                                      "P",
                                      "P1",
                                      "1048",
                                      "P01Q",
                                      "Y1048Q",
                                      "P10.8Q",
                                      "P-1Q",
                                      "PQ",
                                      "P99999999999999999999Q",
                                      "P1048QQQQQQQQQQQQQQQQQQQQQQQQQQQQ",
                                      "\xC3\xA5z"};
    struct code code;
    struct fault fault;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        cr_assert_not(code_read(bad[i], &code, &fault), "%s was taken", bad[i]);
        cr_assert_str_eq(fault.code, "bad-code", "%s gave %s", bad[i], fault.code);
    }
    char text[CODE_TEXT];
    code_write(CODE_PIECE, 1048, text);
    text[5] = text[5] == 'A' ? 'B' : 'A';
    cr_assert_not(code_read(text, &code, &fault));
    cr_assert_str_eq(fault.code, "misread-code");
}
