/* Stock control against published examples and the GNU Scientific Library. Books round z to two digits, so
 * their answers are met to 0.3 %; the exact column is computed from the same formulas.
 * SPDX-License-Identifier: Apache-2.0 */
#include "replenish/normal.h"
#include "replenish/replenish.h"
#include "replenish/season.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>

static struct reorder point_of(double mean, double deviation, double lead, double lead_deviation,
                               double service) {
    struct reorder reorder;
    struct fault fault;
    struct lead_time time = {lead, lead_deviation};
    cr_assert(reorder_normal(mean, deviation, &time, service, &reorder, &fault), "%s", fault.message);
    return reorder;
}

static void is_near(const char *what, double got, double wanted, double share) {
    cr_assert(fabs(got - wanted) <= share * fabs(wanted), "%s: %.6f, not %.6f", what, got, wanted);
}

Test(published, stevenson_examples_8_and_9) {
    /* Stevenson, Operations Management, inventory chapter, Example 8: lead-time demand N(50, 5) t, risk 3 %.
     */
    struct reorder reorder = point_of(50, 5, 1, 0, 0.97);
    is_near("safety stock", reorder.safety_stock, 9.40, 0.003);
    is_near("reorder point", reorder.lead_mean + reorder.safety_stock, 59.404, 1e-5);
    cr_assert_eq(reorder.point, 60);
    /* Example 9 (from memory): 50 a week, deviation 3, lead time 2 weeks, risk 10 %. */
    reorder = point_of(50, 3, 2, 0, 0.90);
    is_near("reorder point", reorder.lead_mean + reorder.safety_stock, 105.437, 1e-5);
}

Test(published, heizer_and_render_varying_lead_time) {
    /* Heizer, Render, Operations Management: 60 a week constant, lead time 6 weeks with deviation 2, 90 %:
     * 513.6. */
    struct reorder reorder = point_of(60, 0, 6, 2, 0.90);
    is_near("reorder point", reorder.lead_mean + reorder.safety_stock, 513.6, 0.003);
    is_near("reorder point", reorder.lead_mean + reorder.safety_stock, 513.79, 2e-5);
}

Test(published, exercises_by_the_formula) {
    /* Computed exercises: N(12, 5) a day for 6 days, risk 5 %; 5 a day, lead time N(3, 2) days, 95 %. */
    struct reorder reorder = point_of(12, 5, 6, 0, 0.95);
    is_near("deviation", reorder.lead_deviation, 12.247, 5e-5);
    is_near("safety stock", reorder.safety_stock, 20.15, 5e-4);
    reorder = point_of(5, 0, 3, 2, 0.95);
    is_near("deviation", reorder.lead_deviation, 10, 1e-12);
    is_near("reorder point", reorder.lead_mean + reorder.safety_stock, 31.45, 2e-4);
    /* The trap: for sigma 8 at 95 % the safety stock is 13.16, not the 10.24 that z = 1.28 would give. */
    is_near("safety stock", point_of(0, 8, 1, 0, 0.95).safety_stock, 13.16, 5e-4);
}

Test(published, chopra_and_meindl_service_and_fill_rate) {
    /* Chopra, Meindl, Supply Chain Management, example 11-4: 250 a week, deviation 150, lead time 2, point
     * 600, lot 1000. */
    double deviation = 150 * sqrt(2);
    struct service service = service_of(500, deviation, 600, 1000);
    is_near("cycle", service.cycle, 0.6813, 1e-4);
    is_near("shortage", service.shortage, 43.861, 2e-5);
    is_near("fill rate", service.fill, 0.9561, 1e-4);
    /* The same book (from memory): 2500 a week, deviation 500, lead time 2, point 6000, lot 10000. */
    service = service_of(5000, 500 * sqrt(2), 6000, 10000);
    is_near("cycle", service.cycle, 0.92135, 1e-5);
    is_near("shortage", service.shortage, 25.127, 2e-5);
    is_near("fill rate", service.fill, 0.99749, 1e-5);
}

Test(published, heizer_and_render_economic_quantity) {
    /* Heizer, Render, Operations Management: D = 1000, S = 10, H = 0.50: 200 and 5 orders a year; D = 1200:
     * 219. */
    static const struct price_break price = {1, 1.0};
    struct buying buying = {1000, 10, 0.5, 1, 0, &price, 1};
    struct lot lot;
    struct fault fault;
    cr_assert(lot_compute(&buying, &lot, &fault));
    cr_assert_eq(lot.quantity, 200);
    is_near("orders a year", buying.yearly / (double)lot.quantity, 5, 1e-12);
    buying.yearly = 1200;
    cr_assert(lot_compute(&buying, &lot, &fault));
    is_near("economic", lot.economic, 219.09, 2e-5);
    cr_assert_eq(lot.quantity, 219);
}

Test(published, table_of_the_unit_normal_loss) {
    static const double table[][2] = {{0, 0.398942},    {0.25, 0.286345},  {0.5, 0.197797}, {1, 0.083315},
                                      {1.28, 0.047499}, {1.645, 0.020886}, {2, 0.008491},   {3, 0.000382}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        cr_assert_float_eq(normal_loss(table[i][0]), table[i][1], 6e-7, "L(%g)", table[i][0]);
        cr_assert_float_eq(normal_loss(-table[i][0]), normal_loss(table[i][0]) + table[i][0], 1e-12);
    }
}

/* Against the GNU Scientific Library (package libgsl-dev), an independent implementation. */
Test(library, normal_quantile_and_loss_to_1e_9) {
    for (double p = 1e-12; p < 1; p = p < 0.01 ? p * 1.7 : p + 0.0013)
        cr_assert_float_eq(normal_quantile(p), gsl_cdf_ugaussian_Pinv(p), 1e-9, "at %g", p);
    for (double z = -8; z < 30; z += 0.037) {
        double tail = gsl_cdf_ugaussian_Q(z), loss = gsl_ran_ugaussian_pdf(z) - z * tail;
        cr_assert_float_eq(normal_loss(z), loss, 1e-9, "at %g", z);
        cr_assert(normal_loss(z) > 0 || z > 37, "at %g", z);
    }
    cr_assert(isnan(normal_quantile(0)) && isnan(normal_quantile(1)) && isnan(normal_quantile(NAN)));
}

Test(library, poisson_to_1e_9) {
    static const double means[] = {0.01, 0.3, 1, 2.5, 9.99, 40, 700, 25000};
    for (size_t i = 0; i < sizeof means / sizeof means[0]; i++)
        for (double share = 0.5; share < 1.6; share += 0.03) {
            unsigned count = (unsigned)(means[i] * share);
            cr_assert_float_eq(poisson_below(means[i], count), gsl_cdf_poisson_P(count, means[i]), 1e-9,
                               "P(%u; %g)", count, means[i]);
        }
    for (size_t i = 0; i < sizeof means / sizeof means[0]; i++)
        for (double p = 0.5; p < 0.9999; p += 0.0101) {
            int64_t count = poisson_quantile(means[i], p);
            cr_assert_geq(gsl_cdf_poisson_P((unsigned)count, means[i]), p - 1e-9);
            cr_assert(count == 0 || gsl_cdf_poisson_P((unsigned)(count - 1), means[i]) < p + 1e-9);
        }
}

/* Poisson's law over a chance lead time is the negative binomial: of the library, by its own parameters. */
Test(library, mixed_poisson_to_1e_9) {
    static const double means[] = {0.05, 0.8, 3, 9.5, 60, 1500}, spreads[] = {1.05, 1.5, 3, 20, 200};
    for (size_t i = 0; i < 6; i++)
        for (size_t j = 0; j < 5; j++) {
            double mean = means[i], variance = mean * spreads[j], loss = 0;
            double chance = mean / variance, size = mean * chance / (1 - chance);
            for (double share = 0; share < 4; share += 0.23) {
                unsigned count = (unsigned)(mean * share);
                cr_assert_float_eq(mixed_poisson_below(mean, variance, count),
                                   gsl_cdf_negative_binomial_P(count, chance, size), 1e-9, "P(%u; %g, %g)",
                                   count, mean, variance);
            }
            for (double p = 0.5; p < 0.9999; p += 0.0501) {
                int64_t count = mixed_poisson_quantile(mean, variance, p);
                cr_assert_geq(gsl_cdf_negative_binomial_P((unsigned)count, chance, size), p - 1e-9);
                cr_assert(count == 0 ||
                          gsl_cdf_negative_binomial_P((unsigned)(count - 1), chance, size) < p + 1e-9);
            }
            int64_t point = mixed_poisson_quantile(mean, variance, 0.9);
            for (unsigned k = (unsigned)point; k < (unsigned)(mean + 60 * sqrt(variance) + 60 * spreads[j]);
                 k++)
                loss += gsl_cdf_negative_binomial_Q(k, chance, size);
            cr_assert_float_eq(mixed_poisson_loss(mean, variance, point), loss, 1e-6 * (1 + loss),
                               "loss at %lld", (long long)point);
        }
    cr_assert_eq(mixed_poisson_quantile(5, 5, 0.95), poisson_quantile(5, 0.95));
    cr_assert_eq(mixed_poisson_quantile(5, 9, 1), -1);
}

Test(library, fisher_to_1e_9) {
    static const double degrees[] = {1, 2, 5, 12, 13, 26, 100, 1000};
    for (size_t i = 0; i < 8; i++)
        for (size_t j = 0; j < 8; j++)
            for (int k = 0; k < 40; k++) {
                double f = 0.02 * pow(1.25, k);
                cr_assert_float_eq(fisher_above(f, degrees[i], degrees[j]),
                                   gsl_cdf_fdist_Q(f, degrees[i], degrees[j]), 1e-9, "F(%g, %g) above %g",
                                   degrees[i], degrees[j], f);
            }
    cr_assert(isnan(fisher_above(-1, 2, 2)) && isnan(fisher_above(1, 0, 2)) &&
              isnan(fisher_above(1, 2, 1e9)));
}

/* Simulated demand meets the asked service level within three standard errors. Lead times are fixed here:
 * only then is the demand in one exactly normal. */
Test(library, simulated_demand_meets_the_service_level) {
    enum { TRIALS = 200000 };
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, 20261125);
    for (double service = 0.8; service < 0.995; service += 0.03) {
        struct reorder reorder = point_of(80, 12, 3, 0, service);
        int met = 0;
        for (int i = 0; i < TRIALS; i++) {
            double used = 0;
            for (int week = 0; week < 3; week++)
                used += 80 + gsl_ran_gaussian(random, 12);
            met += used <= reorder.lead_mean + reorder.safety_stock;
        }
        double share = (double)met / TRIALS, error = sqrt(service * (1 - service) / TRIALS);
        cr_assert_float_eq(share, service, 3 * error, "%.4f of the lead times had no shortage", share);
    }
    gsl_rng_free(random);
}

/* The whole of reorder_compute, from a history to a point, by each law: demand then goes on as it was. A point from a history
 * is itself uncertain: of 150 weeks the mean has an error of 1/12 of the deviation, which takes a share of the level; whole
 * pieces add to it. So what is asked is the level within three standard errors of both, from below; and no more than the one
 * whole piece above. */
static double share_met(gsl_rng *random, double mean, bool lumps, double service, enum demand_law law) {
    enum { HISTORY = 150, TRIALS = 400, LEADS = 400, LEAD = 3 };
    double met = 0;
    int as_expected = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
        double weeks[HISTORY];
        struct reorder reorder;
        struct fault fault;
        for (int i = 0; i < HISTORY; i++)
            weeks[i] = lumps ? 12 * (gsl_rng_uniform(random) < mean / 12) : gsl_ran_poisson(random, mean);
        cr_assert(reorder_compute(&(struct demand){weeks, HISTORY, NULL, false}, &(struct lead_time){LEAD, 0},
                                  service, &reorder, &fault));
        as_expected += reorder.law == law;
        int well = 0;
        for (int i = 0; i < LEADS; i++) {
            double used = 0;
            for (int week = 0; week < LEAD; week++)
                used += lumps ? 12 * (gsl_rng_uniform(random) < mean / 12) : gsl_ran_poisson(random, mean);
            well += used <= (double)reorder.point;
        }
        met += (double)well / LEADS / TRIALS;
    }
    /* Now and then a history of one kind looks like another. */
    cr_assert_gt(as_expected, TRIALS * 9 / 10, "only %d went by %s", as_expected, demand_law_words[law]);
    return met;
}

Test(library, points_from_simulated_histories_meet_the_service_level) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, 20261126);
    static const struct {
        double mean;
        bool lumps;
        enum demand_law law;
    } kinds[] = {{40, false, DEMAND_NORMAL}, {2, false, DEMAND_POISSON}, {0.7, true, DEMAND_EMPIRICAL}};
    for (size_t i = 0; i < 3; i++)
        for (int percent = 90; percent <= 98; percent += 4) {
            double service = percent / 100.0,
                   met = share_met(random, kinds[i].mean, kinds[i].lumps, service, kinds[i].law);
            double error = sqrt(service * (1 - service) / (400.0 * 400)) + 0.006;
            cr_assert_geq(met, service - 3 * error, "%s, %d %%: %.4f", demand_law_words[kinds[i].law],
                          percent, met);
        }
    gsl_rng_free(random);
}

/* Demand of other shapes, and lead times that vary as a gamma variable does: lumps of any size in three weeks of ten, more or less
 * of it each week with a long tail, and little that is even. What the shapes are is drawn; nothing of them is told to
 * reorder_compute but the weeks. */
enum shape { SHAPE_LUMPS, SHAPE_SKEWED, SHAPE_EVEN, SHAPES };

static double week_of(gsl_rng *random, enum shape shape) {
    switch (shape) {
    case SHAPE_LUMPS:
        return gsl_rng_uniform(random) < 0.3 ? 1 + gsl_ran_geometric(random, 0.1) : 0;
    case SHAPE_SKEWED:
        return gsl_ran_negative_binomial(random, 0.2, 1);
    default:
        return gsl_ran_poisson(random, 2);
    }
}

static double demand_over(gsl_rng *random, enum shape shape, double weeks) {
    double used = 0;
    for (; weeks >= 1; weeks--)
        used += week_of(random, shape);
    return used + gsl_ran_binomial(random, weeks, (unsigned)week_of(random, shape));
}

/* The share of lead times that the points of many histories cover, and the standard error of that. */
static double share_covered(gsl_rng *random, enum shape shape, size_t history, struct lead_time lead,
                            double service, double *error) {
    enum { TRIALS = 160, LEADS = 100, LONGEST = 104 };
    double sum = 0, squares = 0, weeks[LONGEST];
    for (int trial = 0; trial < TRIALS; trial++) {
        struct reorder reorder;
        struct fault fault;
        for (size_t i = 0; i < history; i++)
            weeks[i] = week_of(random, shape);
        cr_assert(
            reorder_compute(&(struct demand){weeks, history, NULL, false}, &lead, service, &reorder, &fault));
        double met = 0, share = lead.deviation / lead.mean;
        for (int i = 0; i < LEADS; i++) {
            double length =
                share > 0 ? gsl_ran_gamma(random, 1 / (share * share), lead.mean * share * share) : lead.mean;
            met += demand_over(random, shape, length) <= (double)reorder.point;
        }
        sum += met / LEADS;
        squares += met / LEADS * met / LEADS;
    }
    double mean = sum / TRIALS;
    *error = sqrt((squares / TRIALS - mean * mean) / TRIALS);
    return mean;
}

/* From below within three standard errors of the simulation: lumps, short histories and lead times that vary are no excuse. */
Test(library, lumps_and_lead_times_that_vary_meet_the_service_level) {
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, 20261127);
    static const struct lead_time leads[] = {{1, 0}, {3, 0}, {3, 0.7}};
    static const double levels[] = {0.90, 0.95, 0.98};
    for (enum shape shape = 0; shape < SHAPES; shape++)
        for (size_t history = 52; history <= 104; history += 52)
            for (size_t lead = 0; lead < 3; lead++)
                for (size_t level = 0; level < 3; level++) {
                    double error;
                    double met = share_covered(random, shape, history, leads[lead], levels[level], &error);
                    cr_assert_geq(met, levels[level] - 3 * error,
                                  "shape %d, %zu weeks, lead %g (%g): %.4f of %.2f", (int)shape, history,
                                  leads[lead].mean, leads[lead].deviation, met, levels[level]);
                }
    gsl_rng_free(random);
}
