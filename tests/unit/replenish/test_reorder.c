/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/replenish.h"

#include "replenish/normal.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const struct lead_time two_weeks = {2, 0};

Test(reorder, chooses_the_law_by_what_the_data_says) {
    static const double none[] = {0, 0, 0, 0}, much[] = {50, 47, 55, 52, 49},
                        little[] = {1, 0, 2, 1, 1, 0, 1, 2},
                        lumps[] = {0, 0, 0, 12, 0, 0, 0, 0, 0, 0, 0, 12, 0, 0, 0, 0};
    static const struct {
        const double *weeks;
        size_t count;
        enum demand_law law;
    } cases[] = {{none, 4, DEMAND_NONE},
                 {much, 5, DEMAND_NORMAL},
                 {little, 8, DEMAND_POISSON},
                 {lumps, 16, DEMAND_EMPIRICAL}};
    for (size_t i = 0; i < 4; i++) {
        struct reorder reorder;
        struct fault fault;
        struct demand demand = {cases[i].weeks, cases[i].count, NULL, false};
        cr_assert(reorder_compute(&demand, &two_weeks, 0.95, &reorder, &fault));
        cr_assert_eq(reorder.law, cases[i].law, "case %zu went by %s", i, demand_law_words[reorder.law]);
    }
}

/* The same in another unit is the same: lengths are told in tenths of a millimetre, and go by no law that counts. */
Test(reorder, what_is_measured_goes_by_its_shape_alone) {
    double even[] = {41, 44, 39, 40, 43, 42}, lumps[] = {0, 0, 9, 0, 0, 0, 9, 0};
    for (int unit = 0; unit < 6; unit++) {
        struct reorder reorder;
        struct fault fault;
        cr_assert(reorder_compute(&(struct demand){even, 6, NULL, true}, &two_weeks, 0.95, &reorder, &fault));
        cr_assert_eq(reorder.law, DEMAND_NORMAL, "by %s", demand_law_words[reorder.law]);
        cr_assert(
            reorder_compute(&(struct demand){lumps, 8, NULL, true}, &two_weeks, 0.95, &reorder, &fault));
        cr_assert_eq(reorder.law, DEMAND_EMPIRICAL, "by %s", demand_law_words[reorder.law]);
        for (int i = 0; i < 8; i++) {
            lumps[i] *= 10;
            even[i % 6] *= i < 6 ? 10 : 1;
        }
    }
}

Test(reorder, history_in_lumps_covers_a_lump) {
    static const double lumps[] = {0, 0, 0, 12, 0, 0, 0, 0, 0, 0, 0, 12, 0, 0, 0, 0};
    struct reorder reorder;
    struct fault fault;
    struct demand demand = {lumps, 16, NULL, false};
    /* Two weeks of which each is a lump with chance 1/8: none with 49/64 = 77 %, at most one with 63/64; 3 to be expected. At 70 %
     * a history of 16 weeks is asked for 70 (1 + 1/16) = 74 %. */
    cr_assert(reorder_compute(&demand, &two_weeks, 0.95, &reorder, &fault));
    cr_assert_eq(reorder.point, 12);
    cr_assert(reorder_compute(&demand, &two_weeks, 0.7, &reorder, &fault));
    cr_assert_eq(reorder.point, 0);
    cr_assert_float_eq(reorder.shortage, 3, 1e-12);
    /* Now and then three weeks: half the times 1, half 3 of them, with no lump 7/8 and 343/512: (7/8 + 343/512) / 2 = 77 %. */
    cr_assert(reorder_compute(&demand, &(struct lead_time){2, 1}, 0.7, &reorder, &fault));
    cr_assert_eq(reorder.point, 0);
    cr_assert_float_eq(reorder.shortage, 3, 1e-12);
    cr_assert(reorder_compute(&demand, &(struct lead_time){2, 1}, 0.75, &reorder, &fault));
    cr_assert_eq(reorder.point, 12);
}

/* Poisson over a chance length has a variance of m + (d s)^2: more than Poisson's own, so more is kept. */
Test(reorder, little_demand_minds_a_lead_time_that_varies) {
    static const double little[] = {1, 0, 2, 1, 1, 0, 1, 2};
    struct reorder steady, varying;
    struct fault fault;
    struct demand demand = {little, 8, NULL, false};
    cr_assert(reorder_compute(&demand, &two_weeks, 0.95, &steady, &fault));
    cr_assert(reorder_compute(&demand, &(struct lead_time){2, 1.5}, 0.95, &varying, &fault));
    cr_assert(steady.law == DEMAND_POISSON && varying.law == DEMAND_POISSON);
    cr_assert_float_eq(varying.lead_deviation, sqrt(2 + 1.5 * 1.5), 1e-12);
    cr_assert_gt(varying.point, steady.point);
    cr_assert_gt(steady.shortage, 0);
}

/* One week of 200 tells nothing of how weeks differ; that they differ as chance has it is the least. */
Test(reorder, one_week_is_not_taken_for_steady_demand) {
    static const double week[] = {200};
    struct reorder reorder;
    struct fault fault;
    cr_assert(reorder_compute(&(struct demand){week, 1, NULL, false}, &(struct lead_time){1, 0}, 0.95,
                              &reorder, &fault));
    cr_assert_eq(reorder.law, DEMAND_POISSON);
    cr_assert_eq(reorder.point, poisson_quantile(200, 0.95));
    cr_assert(reorder_compute(&(struct demand){week, 1, NULL, true}, &(struct lead_time){1, 0}, 0.95,
                              &reorder, &fault));
    cr_assert_eq(reorder.law, DEMAND_NORMAL, "what is measured goes by no law that counts");
}

Test(reorder, a_higher_service_level_never_lowers_the_point) {
    static const double little[] = {1, 0, 2, 1, 1, 0, 1, 2}, much[] = {50, 47, 55, 52, 49};
    const struct demand histories[] = {{little, 8, NULL, false}, {much, 5, NULL, false}};
    for (int h = 0; h < 2; h++) {
        int64_t before = 0;
        for (double service = 0.5; service < 0.9999; service += 0.001) {
            struct reorder reorder;
            struct fault fault;
            cr_assert(reorder_compute(&histories[h], &two_weeks, service, &reorder, &fault));
            cr_assert_geq(reorder.point, before, "at %g", service);
            before = reorder.point;
        }
        cr_assert_gt(before, 0);
    }
}

Test(reorder, refuses_what_it_cannot_mean) {
    static const double bad[] = {1, NAN, 2};
    struct reorder reorder = {.point = 7};
    struct fault fault = {0};
    struct demand demand = {bad, 3, NULL, false};
    cr_assert_not(reorder_compute(&demand, &two_weeks, 0.95, &reorder, &fault));
    cr_assert_str_eq(fault.where, "history[1]");
    demand = (struct demand){bad, 1, NULL, false};
    cr_assert_not(reorder_compute(&demand, &two_weeks, 1.0, &reorder, &fault));
    cr_assert_str_eq(fault.where, "service level");
    cr_assert_not(reorder_compute(&demand, &(struct lead_time){0, 0}, 0.9, &reorder, &fault));
    cr_assert_eq(reorder.point, 7, "a failed call changed its output");
}

Test(lot, packs_least_orders_and_price_breaks) {
    static const struct price_break breaks[] = {{1, 500}, {1000, 400}};
    struct buying buying = {1000, 1000, 0.1, 1, 0, breaks, 1};
    struct lot lot;
    struct fault fault;
    cr_assert(lot_compute(&buying, &lot, &fault));
    cr_assert_eq(lot.quantity, 200); /* sqrt(2 * 1000 * 1000 / 50) */
    buying.pack = 144;
    cr_assert(lot_compute(&buying, &lot, &fault));
    cr_assert(lot.quantity == 144 || lot.quantity == 288, "%ld is not in packs", (long)lot.quantity);
    buying.least = 500;
    cr_assert(lot_compute(&buying, &lot, &fault));
    cr_assert_eq(lot.quantity, 576);
    buying.price_count = 2;
    cr_assert(lot_compute(&buying, &lot, &fault));
    cr_assert_eq(lot.quantity, 1008, "a fifth off is worth the larger order");
    cr_assert_float_eq(lot.price, 400, 0);
}

/* The quantity found is no dearer than any other lawful one, searched one by one. */
Test(lot, no_other_quantity_costs_less) {
    static const struct price_break breaks[] = {{1, 310}, {250, 300}, {700, 250}};
    for (int64_t pack = 1; pack <= 60; pack += 7)
        for (double yearly = 40; yearly < 4000; yearly *= 1.9) {
            struct buying buying = {yearly, 2000, 0.25, pack, 20, breaks, 3};
            struct lot lot;
            struct fault fault;
            cr_assert(lot_compute(&buying, &lot, &fault));
            for (int64_t q = pack; q < 3000; q += pack) {
                double price = q >= 700 ? 250 : q >= 250 ? 300 : 310;
                double cost = yearly * price + yearly * 2000 / (double)q + price * 0.25 * (double)q / 2;
                cr_assert(q < 20 || cost >= lot.yearly_cost - 1e-6, "%ld beats %ld", (long)q,
                          (long)lot.quantity);
            }
        }
}

Test(bars, are_whole_and_go_by_the_yield_really_reached) {
    cr_assert_eq(bars_for(0, 6, 0.9), 0);
    cr_assert_eq(bars_for(54, 6, 0.9), 10);
    cr_assert_eq(bars_for(54.001, 6, 0.9), 11);
    cr_assert_eq(bars_for(54, 6, 0), -1);
    cr_assert_eq(bars_for(NAN, 6, 0.9), -1);
}
