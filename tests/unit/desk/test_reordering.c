/* What a line of the reorder list says of itself. SPDX-License-Identifier: Apache-2.0 */
#include "desk/reordering.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const struct reordering usual = {
    .service = {0.95, 0.95, 0.95}, .order_cost = 1000, .holding_share = 0.5};

static json_t *line_of(const char *row_text) {
    struct fault fault;
    json_t *row = json_loads(row_text, 0, NULL);
    cr_assert_not_null(row, "%s is no JSON", row_text);
    json_t *line = reordering_line(row, &usual, 0, &fault);
    cr_assert_not_null(line, "%s", fault.message);
    json_decref(row);
    return line;
}

static double figure(const json_t *line, const char *name) {
    const json_t *value = json_object_get(line, name);
    cr_assert(json_is_number(value), "%s is no number", name);
    return json_number_value(value);
}

static void says(const json_t *line, const char *words) {
    const char *why = json_string_value(json_object_get(line, "why"));
    cr_assert(why != NULL && strstr(why, words) != NULL, "\"%s\" is not in: %s", words, why);
}

/* 5 a day constant, lead time of 3 days with deviation 2, 95 %: sigma 10, safety stock 16.45, reorder point 31.45
 * (z of the normal tables 1.64485; computed by the formula of any operations-management textbook, e.g. Heizer and Render).
 * Here 35 a week. */
Test(reordering, the_deviation_of_receipts_becomes_safety_stock) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"A\", \"name\": \"A\", \"unit\": \"each\", \"supplier\": \"S\","
        " \"lead_days\": 3, \"lead_deviation\": 2, \"lead_seen\": 5, \"lead_from\": \"receipts\", \"price\": "
        "0,"
        " \"on_hand\": 20, \"due\": [[0, 0, 4]], \"coming\": [[0, 10]], \"proposed\": 0,"
        " \"weeks\": [35, 35, 35, 35, 35, 35, 35, 35]}");
    cr_assert_str_eq(json_string_value(json_object_get(line, "law")), "normal");
    cr_assert_eq(figure(line, "position"), 26);
    cr_assert_float_eq(figure(line, "lead_demand"), 15, 1e-9);
    cr_assert_float_eq(figure(line, "safety_stock"), 16.45, 0.6, "the point is a whole number");
    cr_assert_eq(figure(line, "reorder_point"), 32);
    cr_assert_eq(figure(line, "buy"), 6);
    cr_assert(json_is_false(json_object_get(line, "history_short")));
    says(line, "20 on hand and 10 on order, less 4 wanted by open orders, make 26, at or below the reorder "
               "point of 32");
    says(line, "35 a week were used over 8 weeks");
    says(line, "3 days (deviation 2) as seen in 5 receipts");
    says(line, "buy 6.");
    json_decref(line);
}

/* Economic order quantity: D = 1040 a year, S = 1000, H = 0.5 of 208 = 104: sqrt(2 D S / H) = sqrt(20000) = 141.4 (formula
 * as in Heizer and Render, Operations Management); whole pieces. */
Test(reordering, a_price_makes_it_the_economic_quantity) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"A\", \"name\": \"A\", \"unit\": \"each\", \"supplier\": null,"
        " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\", "
        "\"price\": 208,"
        " \"on_hand\": 20, \"due\": [[0, 0, 0]], \"coming\": [[0, 0]], \"proposed\": 0, \"weeks\": [20, 20, "
        "20, 20]}");
    cr_assert_eq(figure(line, "buy"), 141);
    says(line, "7 days by the catalogue");
    json_decref(line);
}

Test(reordering, what_is_on_order_is_not_bought_again) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"A\", \"name\": \"A\", \"unit\": \"each\", \"supplier\": null,"
        " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"assumed\", \"price\": "
        "208,"
        " \"on_hand\": 0, \"due\": [[0, 0, 0]], \"coming\": [[0, 30]], \"proposed\": 99, \"weeks\": [20, 20, "
        "20, 20]}");
    cr_assert_eq(figure(line, "position"), 30, "a proposal does not count");
    cr_assert_eq(figure(line, "buy"), 0);
    says(line, "above the reorder point of 20");
    says(line, "nothing to buy.");
    says(line, "assumed");
    json_decref(line);
}

/* Stock counts tenths of a millimetre; people read millimetres, the sentence metres, and whole metres are bought. */
Test(reordering, lengths_are_bought_by_the_metre) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"C\", \"name\": \"Cord\", \"unit\": \"length\", \"supplier\": null,"
        " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\", "
        "\"price\": 0,"
        " \"on_hand\": 5000, \"due\": [[0, 0, 30005]], \"coming\": [[0, 0]], \"proposed\": 0, \"weeks\": [0, "
        "0, 0]}");
    cr_assert_float_eq(figure(line, "wanted"), 3000.5, 1e-9);
    cr_assert_float_eq(figure(line, "position"), -2500.5, 1e-9);
    cr_assert_eq(figure(line, "buy"), 3000);
    cr_assert(json_is_true(json_object_get(line, "history_short")));
    says(line, "buy 3 m");
    says(line, "nothing was used in 3 weeks");
    says(line, "short a history");
    json_decref(line);
}

Test(reordering, a_lead_time_beyond_all_bounds_is_two_years) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"A\", \"name\": \"A\", \"unit\": \"each\", \"supplier\": null,"
        " \"lead_days\": 1000, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\", "
        "\"price\": 0,"
        " \"on_hand\": 0, \"due\": [[0, 0, 0]], \"coming\": [[0, 0]], \"proposed\": 0, \"weeks\": [20, 20, "
        "20, 20]}");
    cr_assert_float_eq(figure(line, "lead_demand"), 104 * 20, 1e-9);
    json_decref(line);
}
