/* CSV, bar options and the picture. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/picture.h"
#include "support.h"

static json_t *pieces(const char *text) {
    struct fault fault = {0};
    json_t *list = cutlist_pieces(text, strlen(text), &fault);
    cr_assert_not_null(list, "%s: %s", fault.where, fault.message);
    return list;
}

Test(csv, reads_with_and_without_headings) {
    json_t *wanted =
        parse("[{\"name\":\"W1\",\"length\":1830,\"quantity\":3},{\"name\":\"W, 2\",\"length\":1200.5,"
              "\"quantity\":1}]");
    json_t *plain = pieces("W1,1830,3\n\"W, 2\",120.05 cm\n");
    json_t *headed = pieces("Quantity;Name;Length\r\n3;W1;1830\r\n1;\"W, 2\";1200.5\r\n\r\n");
    cr_assert(json_equal(wanted, plain), "comma, no headings");
    cr_assert(json_equal(wanted, headed), "semicolon, headings in another order");
    json_decref(wanted);
    json_decref(plain);
    json_decref(headed);
}

Test(csv, says_where_it_is_wrong) {
    static const char *const wrong[][2] = {
        {"a,10\nb,ten\n", "line 2"}, {"a,10,0\n", "line 1"}, {"a,10,1,x\n", "line 1"},
        {"\n\n,10\n", "line 1"},     {"", "line 0"},         {"a,10\n\"b,10\n", "line 1"},
        {"a,10,2x\n", "line 1"}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct fault fault = {0};
        cr_assert_null(cutlist_pieces(wrong[i][0], strlen(wrong[i][0]), &fault), "case %zu is refused", i);
        cr_assert_str_eq(fault.code, "bad-csv", "case %zu", i);
        cr_assert_str_eq(fault.where, wrong[i][1], "case %zu: %s", i, fault.where);
    }
}

Test(csv, bar_options) {
    struct fault fault;
    json_t *bar = cutlist_bar("F17=1874.5x1s", &fault);
    json_t *wanted = parse("{\"name\":\"F17\",\"length\":1874.5,\"quantity\":1,\"squared\":true}");
    cr_assert(json_equal(bar, wanted), "limited and squared");
    json_decref(bar);
    json_decref(wanted);
    static const char *const wrong[] = {
        "", "six", "=6000", "six=", "six=6000x", "six=6000xs", "six=6000q", "six=0"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        cr_assert_null(cutlist_bar(wrong[i], &fault), "\"%s\" is refused", wrong[i]);
}

Test(picture, is_to_scale_bounded_and_complete) {
    json_t *problem =
        parse("{\"kerf\":2,\"remainder\":{\"usable\":500},\"bars\":[{\"name\":\"six\",\"length\":6000}],"
              "\"pieces\":[{\"name\":\"Ä1\",\"length\":3000},{\"name\":\"b\",\"length\":1500}]}");
    json_t *plan = solved(problem, 0, "picture");
    char text[4000], small[300];
    struct picture_style style = {.columns = 64};
    size_t needed = cutting_picture(problem, plan, &style, text, sizeof text);
    cr_assert_eq(needed, strlen(text), "the whole drawing");
    cr_assert_not_null(strstr(text, "Ä1"), "names: %s", text);
    cr_assert_not_null(strstr(text, "rack"), "the remainder: %s", text);
    /* 60 columns for 6000 mm: 3000 mm take 30 columns, corner to corner. */
    const char *top = strstr(text, "┌"), *joint = strstr(text, "┬");
    cr_assert_eq((joint - top) / 3, 30, "to scale: %ld\n%s", (long)(joint - top) / 3, text);
    cr_assert_eq(cutting_picture(problem, plan, &style, small, sizeof small), needed, "says what it needs");
    cr_assert_lt(strlen(small), sizeof small, "stays in bounds");
    cr_assert_eq(small[strlen(small) - 1], '\n', "cut between lines");
    /* The same drawing where UTF-8 is not understood; only names keep their letters. */
    style.ascii = style.bars_only = true;
    cutting_picture(problem, plan, &style, text, sizeof text);
    cr_assert_eq(strchr(strchr(text, '+') + 1, '+') - strchr(text, '+'), 30, "to scale: %s", text);
    for (const char *at = text; *at != '\0'; at++)
        cr_assert((unsigned char)*at < 0x80 || strncmp(at, "Ä", 2) == 0 || strncmp(at - 1, "Ä", 2) == 0, "%s",
                  at);
    cr_assert_null(strstr(text, "Yield"), "the totals are left out");
    json_decref(plan);
    json_decref(problem);
}
