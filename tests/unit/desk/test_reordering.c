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
    says(line, "20 on hand and 10 on order, less 4 wanted by open orders, make 26, below the reorder "
               "point of 32");
    says(line, "Orders asked for 35 a week over 8 weeks");
    says(line, "3 days (deviation 2), as seen in 5 receipts,");
    says(line, "Buy 6.");
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

/* The same with a history of one week, so by Poisson's law: P(at most 27; 20) = 0.948, of 28 0.966 (any table of the Poisson
 * distribution), reorder point 28, so 8 needed; 4 weeks' use more, 80, not 141. */
Test(reordering, a_short_history_does_not_fill_the_stores) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"A\", \"name\": \"A\", \"unit\": \"each\", \"supplier\": null,"
        " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\", "
        "\"price\": 208, \"prices\": [{\"from\": 100, \"price\": 100}],"
        " \"on_hand\": 20, \"due\": [[0, 0, 0]], \"coming\": [[0, 0]], \"proposed\": 0, \"weeks\": [20]}");
    cr_assert_eq(figure(line, "buy"), 88);
    cr_assert_eq(figure(line, "price"), 208, "below the quantity of the lower price");
    says(line, "hardly more than a guess, so beyond the reorder point only what 4 weeks ask for is bought");
    json_decref(line);
}

/* 10 m in the only week there is: as long a lead time takes that, and nothing tells how weeks differ. */
Test(reordering, one_week_of_a_length_claims_no_safety) {
    json_t *line = line_of(
        "{\"kind\": \"part\", \"code\": \"C\", \"name\": \"Cord\", \"unit\": \"length\", \"supplier\": null,"
        " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\", "
        "\"price\": 0, \"on_hand\": 5000, \"due\": [], \"coming\": [], \"proposed\": 0, \"weeks\": "
        "[100000]}");
    cr_assert_eq(figure(line, "safety_stock"), 0);
    says(line, "takes 10 m, and one week does not tell what safety stock it wants");
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
    says(line, "Nothing to buy.");
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
    says(line, "Buy 3 m");
    says(line, "Orders asked for none in 3 weeks: the lead time of 7 days by the catalogue takes none, so "
               "none is kept");
    says(line, "short a history");
    json_decref(line);
}

/* By hand: pieces asked for are 4 of 3 m, 2 of 5 m, 1 of 8 m: 12 + 10 + 8 = 30 m. A rest of 2 m serves none of it, one of 4 m
 * 12 / 30, one of 6 m 22 / 30, one of 20 m all: 0 + 1.6 + 4.4 + 20 = 26 m; 1 m is set aside: 27 of the 33 m on hand. */
Test(reordering, rests_of_reels_count_for_the_pieces_that_fit) {
    static const char *const row =
        "{\"kind\": \"part\", \"code\": \"C\", \"name\": \"Cord\", \"unit\": \"length\", \"supplier\": null,"
        " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\", "
        "\"price\": 0,"
        " \"pack\": 50000, \"on_hand\": 330000, \"reserved\": 10000, \"rests\": [20000, 40000, 60000, "
        "200000],"
        " \"lengths\": [[30000, 4], [80000, 1], [50000, 2]], \"due\": [[0, 10000, 0]],"
        " \"weeks\": [300000, 300000, 300000, 300000]}";
    json_t *line = line_of(row);
    cr_assert_eq(figure(line, "on_hand"), 33000);
    cr_assert_eq(figure(line, "usable"), 27000);
    cr_assert_eq(figure(line, "position"), 26000);
    cr_assert_eq(figure(line, "buy"), 50000, "a whole reel");
    says(line,
         "33 m on hand, of which 27 m can serve (3 rests of reels are shorter than the longest piece asked "
         "for, 8 m, and count for the share of demand in pieces that fit), and 0 m on order");
    says(line, "Buy 50 m in 1 reel of 50 m");
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

#define PLAIN                                                                                                \
    "{\"kind\": \"part\", \"code\": \"A\", \"name\": \"A\", \"unit\": \"each\", \"supplier\": null,"         \
    " \"lead_days\": 7, \"lead_deviation\": 0, \"lead_seen\": 0, \"lead_from\": \"catalogue\","              \
    " \"this_week\": \"2026-12-14\", \"week_left\": 1, \"class\": \"B\","

Test(reordering, packs_least_orders_and_prices_by_quantity_are_kept) {
    json_t *line =
        line_of(PLAIN " \"price\": 208, \"pack\": 110, \"on_hand\": 20, \"weeks\": [20, 20, 20, 20]}");
    cr_assert_eq(figure(line, "buy"), 110, "the economic 141 is nearer to one pack than to two");
    says(line, "Buy 110 in 1 pack of 110");
    json_decref(line);
    line = line_of(PLAIN " \"price\": 208, \"least\": 500, \"on_hand\": 20, \"weeks\": [20, 20, 20, 20]}");
    cr_assert_eq(figure(line, "buy"), 500);
    says(line, "the least the supplier sells");
    json_decref(line);
    line = line_of(PLAIN " \"price\": 208, \"prices\": [{\"from\": 300, \"price\": 150}], \"on_hand\": 20,"
                         " \"weeks\": [20, 20, 20, 20]}");
    cr_assert_eq(figure(line, "buy"), 300, "a fourth off is worth the larger order");
    cr_assert_eq(figure(line, "price"), 150);
    says(line, "for from there on one costs 1.50 instead of 2.08");
    json_decref(line);
}

Test(reordering, the_class_has_its_service_level) {
    static const struct reordering by_class = {
        .service = {0.99, 0.90, 0.5}, .order_cost = 1000, .holding_share = 0.5};
    struct fault fault;
    json_t *row =
        json_loads(PLAIN " \"price\": 0, \"on_hand\": 0, \"weeks\": [18, 22, 20, 21, 19, 20]}", 0, NULL);
    double before = 1e9;
    for (const char *class = "ABC"; *class != '\0'; class ++) {
        json_object_set_new(row, "class", json_stringn(class, 1));
        json_t *line = reordering_line(row, &by_class, 0, &fault);
        cr_assert_lt(figure(line, "reorder_point"), before);
        before = figure(line, "reorder_point");
        json_decref(line);
    }
    cr_assert_eq(before, 20, "half of all lead times: the mean");
    json_decref(row);
}

Test(reordering, weeks_shut_are_no_demand_and_are_told) {
    json_t *line = line_of(PLAIN " \"price\": 0, \"on_hand\": 90, \"weeks\": [20, null, 20, null, 20, 20]}");
    cr_assert_eq(figure(line, "weekly"), 20);
    cr_assert_eq(figure(line, "weeks"), 4);
    says(line, "Orders asked for 20 a week over 4 weeks (deviation 0), 2 more the workshop was shut");
    json_decref(line);
}

/* 60 on hand, 20 a week forecast; 50 are ordered for the second week, 30 come in the third: 40, -10, 0, -20. */
Test(reordering, the_stock_to_come_is_told_week_by_week) {
    struct fault fault;
    json_t *row = json_loads(
        PLAIN " \"price\": 0, \"on_hand\": 60, \"coming\": [[2, 30]], \"due\": [[1, 10, 40], [9, 0, 7]],"
              " \"weeks\": [20, 20, 20, 20]}",
        0, NULL);
    json_t *line = reordering_line(row, &usual, 4, &fault);
    static const int stock[] = {40, -10, 0, -20};
    for (size_t i = 0; i < 4; i++) {
        const json_t *week = json_array_get(json_object_get(line, "projection"), i);
        cr_assert_eq(figure(week, "stock"), stock[i], "week %zu", i);
    }
    cr_assert_eq(figure(line, "wanted"), 57, "what is due later is wanted too");
    cr_assert_eq(figure(line, "wanted_hard"), 10);
    cr_assert_str_eq(json_string_value(json_object_get(line, "runs_out")), "2026-12-21");
    says(line, "(10 of it by released ones)");
    says(line, "runs out in the week of 2026-12-21");
    json_decref(line);
    json_decref(row);
}

/* 2 x 9.5 m at a yield of 95 % are 20 m: 3.33 bars of 6 m; half of them of this length 1.67, so 2. */
Test(reordering, bars_are_wanted_for_pieces_in_no_plan_at_the_yield_reached) {
    json_t *line = line_of(
        "{\"kind\": \"bar\", \"code\": \"S F 6000\", \"name\": \"bar\", \"unit\": \"each\", \"system\": "
        "\"S\","
        " \"finish\": \"F\", \"length\": 6000, \"supplier\": null, \"lead_days\": 7, \"lead_deviation\": 0,"
        " \"lead_from\": \"assumed\", \"price\": 0, \"on_hand\": 1, \"yield\": 0.95, \"share\": 0.5,"
        " \"waiting\": [[3, 95000], [1, 95000]], \"this_week\": \"2026-12-28\", \"week_left\": 1, \"weeks\": "
        "[0]}");
    cr_assert_eq(figure(line, "wanted"), 2);
    cr_assert_eq(figure(line, "buy"), 1);
    cr_assert_str_eq(json_string_value(json_object_get(line, "runs_out")), "2027-01-18");
    says(line, "at the last year's yield of 95.0 %");
    json_decref(line);
}

Test(reordering, the_season_is_told) {
    json_t *weeks = json_array();
    for (int i = 0; i < 156; i++)
        json_array_append_new(weeks, json_integer((155 - i) % 52 >= 40 ? 100 + i % 3 : 50 + i % 3));
    json_t *row = json_loads(PLAIN " \"price\": 0, \"on_hand\": 500}", 0, NULL);
    struct fault fault;
    json_object_set_new(row, "weeks", weeks);
    json_t *line = reordering_line(row, &usual, 0, &fault);
    cr_assert_float_eq(figure(line, "season"), 1.62, 0.02);
    cr_assert_float_eq(figure(line, "lead_demand"), 101, 1.5);
    says(line, "the time of the year now takes 1.6");
    json_decref(line);
    json_decref(row);
}
