/* Seasons, shut weeks, and stocks over the weeks to come. SPDX-License-Identifier: Apache-2.0 */
#include "replenish/season.h"

#include "replenish/project.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

enum { YEAR = 52, HISTORY = 3 * YEAR };

static const struct lead_time two_weeks = {2, 0};

/* Every four weeks after the last one of the history, period by period: 12 is the one that comes next. */
Test(season, what_comes_next_is_what_was_a_year_ago) {
    for (size_t ahead = 1; ahead < 200; ahead++)
        cr_assert_eq(season_ahead(ahead), season_back((52 - ahead % 52) % 52), "%zu weeks ahead", ahead);
    cr_assert_eq(season_ahead(1), SEASON_PERIODS - 1);
    cr_assert_eq(season_ahead(52), season_back(0));
}

/* Twice as much in the quarter that is coming as in the rest of the year. */
static void fill_quarter(double weeks[HISTORY]) {
    for (size_t i = 0; i < HISTORY; i++) {
        size_t back = HISTORY - 1 - i;
        weeks[i] = (back % YEAR >= 40 ? 100 : 50) + (double)(i * 7919 % 11) - 5;
    }
}

Test(season, a_quarter_of_twice_as_much_is_found_and_taken_into_the_point) {
    double weeks[HISTORY];
    struct demand demand = {weeks, HISTORY, NULL, false};
    struct season season;
    struct reorder reorder;
    struct fault fault;
    fill_quarter(weeks);
    season_find(&demand, &season);
    cr_assert(season.found && season.chance < 1e-6, "a chance of %g", season.chance);
    /* 3 of 13 periods have 100, the others 50: the mean is 61.5. */
    cr_assert_float_eq(season.index[12], 100 / 61.54, 0.05);
    cr_assert_float_eq(season.index[0], 50 / 61.54, 0.05);
    cr_assert(reorder_compute(&demand, &two_weeks, 0.95, &reorder, &fault));
    cr_assert_float_eq(reorder.lead_mean, 200, 6, "two weeks of the quarter: %g", reorder.lead_mean);
    cr_assert_float_eq(reorder_forecast(&reorder, 1), 100, 4);
    cr_assert_float_eq(reorder_forecast(&reorder, 20), 50, 3);
    cr_assert_lt(reorder.deviation, 8, "the season is not taken for chance: %g", reorder.deviation);
}

Test(season, chance_is_not_taken_for_one) {
    double weeks[HISTORY];
    struct demand demand = {weeks, HISTORY, NULL, false};
    struct season season;
    unsigned state = 1;
    int found = 0;
    for (int trial = 0; trial < 2000; trial++) {
        for (size_t i = 0; i < HISTORY; i++) {
            state = state * 1664525u + 1013904223u;
            weeks[i] = (double)(state >> 24);
        }
        season_find(&demand, &season);
        found += season.found;
    }
    /* 1 in 100: 20 of 2000, with a deviation of sqrt(2000 x 0.01 x 0.99) = 4.4. */
    cr_assert(found >= 5 && found <= 36, "%d of 2000", found);
}

Test(season, a_short_history_has_none) {
    double weeks[2 * YEAR - 1] = {0};
    struct season season;
    for (size_t i = 0; i < YEAR; i++)
        weeks[i] = i < 10 ? 100 : 1;
    season_find(&(struct demand){weeks, 2 * YEAR - 1, NULL, false}, &season);
    cr_assert(!season.found && season.index[3] == 1);
}

Test(closed, weeks_are_as_if_they_had_not_been) {
    double weeks[] = {50, 0, 47, 55, 0, 52, 49}, open[] = {50, 47, 55, 52, 49};
    bool closed[] = {false, true, false, false, true, false, false};
    struct reorder with, without;
    struct fault fault;
    cr_assert(reorder_compute(&(struct demand){weeks, 7, closed, false}, &two_weeks, 0.95, &with, &fault));
    cr_assert(reorder_compute(&(struct demand){open, 5, NULL, false}, &two_weeks, 0.95, &without, &fault));
    cr_assert(with.point == without.point && with.weeks == 5 && with.mean == without.mean);
    bool all[] = {true, true, true, true, true, true, true};
    cr_assert(reorder_compute(&(struct demand){weeks, 7, all, false}, &two_weeks, 0.95, &with, &fault));
    cr_assert(with.law == DEMAND_NONE && with.weeks == 0 && with.point == 0);
}

Test(project, takes_the_larger_of_orders_and_forecast) {
    struct project_week weeks[] = {
        {0, 12, 10, 0}, {0, 3, 10, 0}, {30, 0, 10, 0}, {0, 0, 10, 0}, {0, 40, 10, 0}};
    static const double stock[] = {28, 18, 38, 28, -12};
    struct project project;
    struct fault fault;
    cr_assert(project_compute(40, 20, weeks, 5, &project, &fault));
    for (int i = 0; i < 5; i++)
        cr_assert_eq(weeks[i].stock, stock[i], "week %d ends with %g", i, weeks[i].stock);
    cr_assert(project.below == 1 && project.out == 4);
    cr_assert(project_compute(400, 20, weeks, 5, &project, &fault));
    cr_assert(project.below == 5 && project.out == 5, "never");
}

Test(project, a_stock_that_just_reaches_is_not_short) {
    struct project_week weeks[30] = {{0}};
    struct project project;
    struct fault fault;
    for (int i = 0; i < 30; i++)
        weeks[i].forecast = 0.1;
    cr_assert(project_compute(3, 0, weeks, 30, &project, &fault));
    cr_assert_eq(project.out, 30, "a rounding error is taken for a shortage in week %zu", project.out);
    weeks[7].coming = -1;
    cr_assert_not(project_compute(3, 0, weeks, 30, &project, &fault));
    cr_assert_str_eq(fault.where, "weeks[7]");
    cr_assert_not(project_compute(3, 0, weeks, PROJECT_WEEKS + 1, &project, &fault));
}
