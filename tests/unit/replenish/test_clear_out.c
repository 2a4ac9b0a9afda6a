/* Which offcuts are likely to serve again. SPDX-License-Identifier: Apache-2.0 */
#include "replenish/clear_out.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static const struct clear_rules usual = {26, 22, 6000, 0.8, 0.95};

Test(clear_out, fits_as_the_planner_would_have_it) {
    cr_assert_not(clear_out_fits(10001, 10000, &usual), "too long");
    cr_assert(clear_out_fits(10000, 10000, &usual));
    /* 0.8 x 10000 are worth a piece of 7578 and its kerf at a yield of 0.95: (7578 + 22) / 0.95 = 8000. */
    cr_assert(clear_out_fits(7578, 10000, &usual));
    cr_assert_not(clear_out_fits(7577, 10000, &usual), "more would be lost than a bar costs");
    cr_assert_not(clear_out_fits(3979, 10000, &usual), "5999 of it would be scrap");
    cr_assert(clear_out_fits(3978, 10000, &usual), "6000 of it go back on the rack");
}

Test(clear_out, one_offcut_alone_goes_by_the_law_of_poisson) {
    struct clear_piece pieces[] = {{9000, 0.02, false}, {9500, 0.01, true}, {30000, 5, false}};
    struct clear_offcut offcut = {10000, false, 0, 0};
    struct fault fault;
    cr_assert(clear_out_compute(pieces, 3, &offcut, 1, &usual, &fault));
    cr_assert_float_eq(offcut.chance, 1 - exp(-26 * 0.02), 1e-12);
    offcut.mates = true;
    cr_assert(clear_out_compute(pieces, 3, &offcut, 1, &usual, &fault));
    cr_assert_float_eq(offcut.chance, 1 - exp(-26 * 0.03), 1e-12, "a paired piece may come too");
}

Test(clear_out, no_more_offcuts_serve_than_pieces_come) {
    struct clear_piece piece = {9000, 3.0 / 26, false};
    struct clear_offcut offcuts[40];
    struct fault fault;
    double sum = 0, before = 1;
    for (int i = 0; i < 40; i++)
        offcuts[i] = (struct clear_offcut){10000, false, 0, 0};
    cr_assert(clear_out_compute(&piece, 1, offcuts, 40, &usual, &fault));
    for (int i = 0; i < 40; i++) {
        cr_assert_leq(offcuts[i].chance, before);
        before = offcuts[i].chance;
        sum += before;
    }
    cr_assert(sum < 3 + 1e-9 && sum > 2.9, "%g of 3", sum);
}

Test(clear_out, refuses_what_it_cannot_mean) {
    struct clear_offcut offcut = {10000, false, 7, 7};
    struct clear_rules rules = usual;
    struct fault fault;
    rules.yield = 0;
    cr_assert_not(clear_out_compute(NULL, 0, &offcut, 1, &rules, &fault));
    cr_assert_str_eq(fault.where, "yield");
    struct clear_piece bad = {9000, NAN, false};
    cr_assert_not(clear_out_compute(&bad, 1, &offcut, 1, &usual, &fault));
    cr_assert(offcut.chance == 7 && offcut.demand == 7, "a failed call changed its output");
}

/* --- Against a simulation: half a year of pieces, one by one, each from the shortest offcut that fits, what remains of it back on
 * the rack where it is long enough. */

enum { OFFCUTS = 24, LENGTHS = 30, RUNS = 3000 };

static double uniform(uint64_t *state) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static int poisson(uint64_t *state, double mean) {
    int count = 0;
    for (double product = uniform(state); product > exp(-mean); product *= uniform(state))
        count++;
    return count;
}

static void serve(ell_length piece, ell_length left[OFFCUTS], bool served[OFFCUTS]) {
    size_t best = OFFCUTS;
    for (size_t i = 0; i < OFFCUTS; i++)
        if (left[i] > 0 && clear_out_fits(piece, left[i], &usual) &&
            (best == OFFCUTS || left[i] < left[best]))
            best = i;
    if (best == OFFCUTS)
        return;
    served[best] = true;
    ell_length remainder = left[best] - piece - usual.kerf;
    left[best] = remainder >= usual.usable ? remainder : 0;
}

static void simulate(uint64_t *state, const struct clear_piece pieces[LENGTHS],
                     const struct clear_offcut offcuts[OFFCUTS], double share[OFFCUTS]) {
    double all = 0;
    for (int i = 0; i < LENGTHS; i++)
        all += pieces[i].weekly;
    for (int run = 0; run < RUNS; run++) {
        ell_length left[OFFCUTS];
        bool served[OFFCUTS] = {false};
        for (int i = 0; i < OFFCUTS; i++)
            left[i] = offcuts[i].length;
        for (int come = poisson(state, all * usual.weeks); come > 0; come--) {
            double at = uniform(state) * all;
            int which = 0;
            while (which < LENGTHS - 1 && (at -= pieces[which].weekly) > 0)
                which++;
            serve(pieces[which].length, left, served);
        }
        for (int i = 0; i < OFFCUTS; i++)
            share[i] += (double)served[i] / RUNS;
    }
}

Test(clear_out, chances_are_those_of_a_simulated_half_year) {
    uint64_t state = 20261125;
    double off = 0, worst = 0, useless = 0, useless_served = 0;
    int count = 0;
    for (int rack = 0; rack < 6; rack++) {
        struct clear_piece pieces[LENGTHS];
        struct clear_offcut offcuts[OFFCUTS];
        double share[OFFCUTS] = {0};
        struct fault fault;
        for (int i = 0; i < LENGTHS; i++)
            pieces[i] = (struct clear_piece){7000 + 1400 * i, 0.004 * (1 + rack) * uniform(&state), false};
        for (int i = 0; i < OFFCUTS; i++)
            offcuts[i] = (struct clear_offcut){6000 + (ell_length)(uniform(&state) * 30000), false, 0, 0};
        cr_assert(clear_out_compute(pieces, LENGTHS, offcuts, OFFCUTS, &usual, &fault));
        simulate(&state, pieces, offcuts, share);
        for (int i = 0; i < OFFCUTS; i++, count++) {
            double error = fabs(offcuts[i].chance - share[i]);
            off += error;
            worst = fmax(worst, error);
            if (offcuts[i].chance < 0.1) {
                useless++;
                useless_served += share[i];
            }
        }
    }
    cr_assert_lt(off / count, 0.04, "off by %.3f in the mean, %.3f at worst", off / count, worst);
    cr_assert_lt(worst, 0.2, "off by %.3f at worst", worst);
    cr_assert(useless > 5 && useless_served / useless < 0.1, "of %g called unlikely %.3f served", useless,
              useless_served / useless);
}
