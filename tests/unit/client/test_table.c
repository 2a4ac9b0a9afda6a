/* SPDX-License-Identifier: Apache-2.0 */
#include "screen.h"

#include <criterion/criterion.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>

/* What `print` writes on a screen of `width` columns; 0 is a file. */
static char *printed(int width, bool colour, void (*print)(const struct screen *)) {
    char *text = NULL;
    size_t size;
    struct screen screen = {.file = open_memstream(&text, &size),
                            .terminal = width > 0,
                            .colour = colour,
                            .unicode = true,
                            .width = width};
    print(&screen);
    fclose(screen.file);
    return text;
}

static const struct column columns[] = {{"order", "order", COLUMN_TEXT},
                                        {"length", "cut.length", COLUMN_LENGTH},
                                        {"late", "late", COLUMN_YES},
                                        {"customer", "customer", COLUMN_TEXT}};

static void print_rows(const struct screen *screen) {
    json_t *rows = json_loads(
        "[{\"order\":\"A1\",\"cut\":{\"length\":1874.5},\"late\":true,\"customer\":\"Müller & Söhne\"},"
        "{\"order\":\"A1002\",\"cut\":{\"length\":600},\"late\":false,\"customer\":\"日本の店\"}]",
        0, NULL);
    cr_assert_not_null(rows);
    table_print(screen, columns, 4, rows, "none");
    json_decref(rows);
}

static void utf8(void) {
    cr_assert_not_null(setlocale(LC_CTYPE, "C.UTF-8"));
}

TestSuite(table, .init = utf8);

Test(table, lines_up) {
    char *text = printed(0, false, print_rows);
    cr_assert_str_eq(text, "order  length mm  late  customer\n"
                           "A1        1874.5  yes   Müller & Söhne\n"
                           "A1002        600        日本の店\n");
    free(text);
}

/* A character that is two columns wide must not be cut in half, and no line may pass the edge. */
Test(table, fits_a_narrow_terminal) {
    char *text = printed(29, false, print_rows);
    cr_assert_str_eq(text, "order  length  late  customer\n"
                           "           mm        \n"
                           "A1     1874.5  yes   Müller …\n"
                           "A1002     600        日本の店\n");
    free(text);
    text = printed(20, false, print_rows);
    cr_assert(strstr(text, "Müller …") != NULL, "texts are kept eight columns wide:\n%s", text);
    free(text);
}

static void print_hostile(const struct screen *screen) {
    json_t *row = json_pack("{s:s, s:s}", "order", "\033[2Jgone\r", "customer", "a\nb");
    fields_print(screen, columns, 4, row);
    json_decref(row);
}

Test(table, data_does_not_command_the_terminal) {
    char *text = printed(80, false, print_hostile);
    cr_assert_str_eq(text, "order     ?[2Jgone?\ncustomer  a?b\n");
    free(text);
    text = printed(80, true, print_hostile);
    cr_assert_str_eq(text, "\033[1morder\033[0m     ?[2Jgone?\n\033[1mcustomer\033[0m  a?b\n");
    free(text);
}

static void print_nothing(const struct screen *screen) {
    table_print(screen, columns, 4, NULL, "No orders.");
}

Test(table, says_so_when_there_is_nothing) {
    char *text = printed(80, false, print_nothing);
    cr_assert_str_eq(text, "No orders.\n");
    free(text);
}

static const struct column wide[] = {{"part", "part", COLUMN_TEXT},
                                     {"name", "name", COLUMN_TEXT},
                                     {"on hand", "on_hand", COLUMN_LENGTH},
                                     {"short", "short", COLUMN_LENGTH},
                                     {"lead days", "days", COLUMN_NUMBER | COLUMN_MINOR},
                                     {"law", "law", COLUMN_TEXT | COLUMN_MINOR},
                                     {"", "message", COLUMN_TEXT}};

static void print_wide(const struct screen *screen) {
    json_t *rows = json_loads(
        "[{\"part\":\"CORD\",\"name\":\"Braided cord 2.5 mm, sold by "
        "length\",\"unit\":\"length\",\"on_hand\":2500.5,"
        "\"days\":12,\"law\":\"normal\",\"message\":\"The reel is nearly empty: order another one.\"},"
        "{\"part\":\"ARM\",\"name\":\"Overlap "
        "arm\",\"unit\":\"each\",\"on_hand\":7,\"days\":3,\"law\":\"poisson\"}]",
        0, NULL);
    cr_assert_not_null(rows);
    table_print(screen, wide, 7, rows, "none");
    json_decref(rows);
}

/* Rows that count each in their own unit say it; columns in which nothing stands are left out on a terminal only. */
Test(table, units_of_rows) {
    char *text = printed(200, false, print_wide);
    cr_assert_str_eq(text, "part  name                                   on hand  lead days  law      \n"
                           "CORD  Braided cord 2.5 mm, sold by length  2500.5 mm         12  normal   "
                           "The reel is nearly empty: order another one.\n"
                           "ARM   Overlap arm                                  7          3  poisson  \n");
    free(text);
    text = printed(0, false, print_wide);
    cr_assert_not_null(strstr(text, "on hand  short  lead days"), "a file gets every column:\n%s", text);
    free(text);
}

/* Headings in two lines, then minor columns go, and the sentence stands below its row, whole. */
Test(table, gives_up_what_matters_least) {
    char *text = printed(46, false, print_wide);
    cr_assert_str_eq(text, "part  name                       on hand  lead\n"
                           "                                          days\n"
                           "CORD  Braided cord 2.5 mm, s…  2500.5 mm    12\n"
                           "    The reel is nearly empty: order another\n"
                           "    one.\n"
                           "ARM   Overlap arm                      7     3\n"
                           "Not shown for want of room: law. A wider\n"
                           "terminal or --json shows them.\n");
    free(text);
}

/* No line passes the edge of a terminal that holds the headings and eight columns of each text. */
Test(table, never_wraps) {
    for (int width = 32; width < 120; width++) {
        char *text = printed(width, false, print_wide), *rest = NULL;
        for (char *line = strtok_r(text, "\n", &rest); line != NULL; line = strtok_r(NULL, "\n", &rest))
            cr_assert_leq(screen_columns(line), width, "at %d: %s", width, line);
        free(text);
    }
}

Test(field, shows_each_kind) {
    json_t *row = json_pack("{s:i, s:f, s:i, s:[i,i], s:s, s:s, s:n}", "n", 42, "mm", 12.5, "money", 1995,
                            "list", 1, 2, "at", "2026-11-25T09:14:05Z", "not", "soon", "null");
    setenv("TZ", "UTC-1", 1); /* an hour east of Greenwich */
    const struct {
        struct column column;
        const char *text;
    } cases[] = {
        {{"", "n", COLUMN_NUMBER}, "42"},        {{"", "mm", COLUMN_LENGTH}, "12.5 mm"},
        {{"", "n", COLUMN_LENGTH}, "42 mm"},     {{"", "money", COLUMN_MONEY}, "19.95"},
        {{"", "list", COLUMN_COUNT}, "2"},       {{"", "at", COLUMN_TIME}, "2026-11-25 10:14"},
        {{"", "not", COLUMN_TIME}, "soon"},      {{"", "null", COLUMN_TEXT}, ""},
        {{"", "absent.below", COLUMN_TEXT}, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[256];
        field_text(row, &cases[i].column, text);
        cr_assert_str_eq(text, cases[i].text, "%s: %s", cases[i].column.field, text);
    }
    json_decref(row);
}
