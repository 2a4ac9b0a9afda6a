/* Which offcuts to clear out. SPDX-License-Identifier: Apache-2.0 */
#include "desk/clearing.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const struct clearing usual = {26, 90, 100};

/* Offcuts of 1000 mm, for which 52 x `often` pieces of 900 mm come a year. */
static json_t *rows_of(double often, int weeks, const char *offcuts) {
    char text[1000];
    struct fault fault;
    snprintf(text, sizeof text,
             "{\"system\": \"S\", \"finish\": \"F\", \"kerf\": 22, \"usable\": 6000, \"value_share\": 0.8, "
             "\"yield\": 0.95, \"weeks\": %d,"
             " \"pieces\": [[9000, false, %g]], \"offcuts\": [%s]}",
             weeks, often * weeks, offcuts);
    json_t *group = json_loads(text, 0, NULL), *rows = json_array();
    cr_assert_not_null(group, "%s", text);
    cr_assert(clearing_add(group, &usual, rows, &fault), "%s", fault.message);
    json_t *sorted = clearing_sorted(rows);
    json_decref(rows);
    json_decref(group);
    return sorted;
}

#define OFFCUT(bar, days)                                                                                    \
    "{\"bar\": " bar ", \"code\": \"F" bar                                                                   \
    "\", \"length\": 1000, \"usable\": 10000, \"value\": 480, \"batch\": null,"                              \
    " \"place\": null, \"days\": " days ", \"mates\": false}"

static double figure(const json_t *rows, size_t row, const char *name) {
    return json_number_value(json_object_get(json_array_get(rows, row), name));
}

static bool cleared(const json_t *rows, size_t row) {
    return json_is_true(json_object_get(json_array_get(rows, row), "clear"));
}

/* A place costs 100 x 26 / 52 = 50; the offcut is worth 480: so it stays from a chance of 50 / 480 = 10.4 % on, which is a
 * demand of -ln(1 - 0.104) = 0.11 pieces in the half year. */
Test(clearing, keeping_is_weighed_against_the_place) {
    json_t *rows = rows_of(0.10 / 26, 52, OFFCUT("7", "200"));
    cr_assert(cleared(rows, 0));
    cr_assert_float_eq(figure(rows, 0, "chance"), 1 - exp(-0.10), 1e-4);
    cr_assert_eq(figure(rows, 0, "cost"), 50);
    cr_assert_eq(figure(rows, 0, "keep"), 46);
    cr_assert_not_null(strstr(json_string_value(json_object_get(json_array_get(rows, 0), "why")),
                              "value of 4.80 keeping it is worth 0.46"));
    json_decref(rows);
    rows = rows_of(0.12 / 26, 52, OFFCUT("7", "200"));
    cr_assert_not(cleared(rows, 0));
    json_decref(rows);
}

Test(clearing, what_is_new_or_little_known_stays) {
    json_t *rows = rows_of(0, 52, OFFCUT("7", "89"));
    cr_assert_not(cleared(rows, 0), "it has not lain there for 90 days");
    json_decref(rows);
    rows = rows_of(0, 12, OFFCUT("7", "200"));
    cr_assert_not(cleared(rows, 0), "12 weeks are too few");
    json_decref(rows);
}

Test(clearing, the_least_worth_keeping_comes_first) {
    json_t *rows =
        rows_of(0.3 / 26, 52,
                OFFCUT("7", "10") "," OFFCUT("8", "200") "," OFFCUT("9", "200") "," OFFCUT("10", "300"));
    for (size_t i = 1; i < 4; i++) {
        cr_assert(cleared(rows, i - 1) || !cleared(rows, i), "those to clear come first");
        cr_assert(cleared(rows, i - 1) != cleared(rows, i) ||
                  figure(rows, i - 1, "keep") <= figure(rows, i, "keep"));
    }
    /* Of four alike with 0.3 pieces to come the first has the chance of 26 %, the last two none. */
    cr_assert(cleared(rows, 0) && figure(rows, 0, "bar") == 9 && figure(rows, 0, "keep") == 0);
    json_decref(rows);
}
