/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/season.h"

#include <math.h>

enum { YEAR = 52, PERIOD = YEAR / SEASON_PERIODS, YEARS_MOST = 20 };

/* So rare must it be by chance; and no period counts for less than this share of the mean, or one quiet month would make the
 * weeks of the others look like nothing. */
static const double rare = 0.01, index_least = 0.05;

size_t season_back(size_t back) {
    return back % YEAR / PERIOD;
}

size_t season_ahead(size_t ahead) {
    return (YEAR - 1 - (ahead + YEAR - 1) % YEAR) / PERIOD;
}

/* The continued fraction of the incomplete beta function, by the method of Lentz. */
static double beta_fraction(double x, double a, double b) {
    const double tiny = 1e-300;
    double c = 1, d = 1 - (a + b) * x / (a + 1);
    d = 1 / (fabs(d) < tiny ? tiny : d);
    double h = d;
    for (int m = 1; m < 100000; m++) {
        double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        for (int half = 0; half < 2; half++) {
            double term = half == 0 ? even : odd;
            d = 1 + term * d;
            c = 1 + term / c;
            d = 1 / (fabs(d) < tiny ? tiny : d);
            c = fabs(c) < tiny ? tiny : c;
            h *= d * c;
        }
        if (fabs(d * c - 1) < 1e-15)
            break;
    }
    return h;
}

static double beta_below(double x, double a, double b) {
    if (x <= 0 || x >= 1)
        return x <= 0 ? 0 : 1;
    double front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x));
    /* The fraction converges quickly below the mean; above it the mirror image does. */
    return x < (a + 1) / (a + b + 2) ? front * beta_fraction(x, a, b) / a
                                     : 1 - front * beta_fraction(1 - x, b, a) / b;
}

double fisher_above(double f, double degrees_between, double degrees_within) {
    if (!(f >= 0) || !(degrees_between > 0 && degrees_between <= 1e6) ||
        !(degrees_within > 0 && degrees_within <= 1e6))
        return NAN;
    return beta_below(degrees_within / (degrees_within + degrees_between * f), degrees_within / 2,
                      degrees_between / 2);
}

/* What was used in each period of each year, scaled up where some of its weeks were closed; periods that were closed
 * altogether are left out. */
struct cells {
    double used[SEASON_PERIODS][YEARS_MOST];
    size_t count[SEASON_PERIODS], all;
    double mean;
};

static void fill_cells(const struct demand *demand, size_t years, struct cells *cells) {
    *cells = (struct cells){.all = 0};
    for (size_t period = 0; period < SEASON_PERIODS; period++)
        for (size_t year = 0; year < years; year++) {
            double used = 0, open = 0;
            for (size_t week = 0; week < PERIOD; week++) {
                size_t at = demand->count - 1 - (year * YEAR + period * PERIOD + week);
                if (demand->closed != NULL && demand->closed[at])
                    continue;
                used += demand->weeks[at];
                open++;
            }
            if (open == 0)
                continue;
            cells->used[period][cells->count[period]++] = used * PERIOD / open;
            cells->mean += used * PERIOD / open;
            cells->all++;
        }
    cells->mean = cells->all > 0 ? cells->mean / (double)cells->all : 0;
}

static double mean_of(const struct cells *cells, size_t period) {
    double sum = 0;
    for (size_t i = 0; i < cells->count[period]; i++)
        sum += cells->used[period][i];
    return cells->count[period] > 0 ? sum / (double)cells->count[period] : cells->mean;
}

static double chance_of(const struct cells *cells) {
    double between = 0, within = 0, groups = 0;
    for (size_t period = 0; period < SEASON_PERIODS; period++) {
        double mean = mean_of(cells, period);
        groups += cells->count[period] > 0;
        between += (double)cells->count[period] * (mean - cells->mean) * (mean - cells->mean);
        for (size_t i = 0; i < cells->count[period]; i++)
            within += (cells->used[period][i] - mean) * (cells->used[period][i] - mean);
    }
    double free_between = groups - 1, free_within = (double)cells->all - groups;
    if (free_between < 1 || free_within < 1 || between <= 0)
        return 1;
    return within <= 0
               ? 0
               : fisher_above(between / free_between / (within / free_within), free_between, free_within);
}

void season_find(const struct demand *demand, struct season *season) {
    struct cells cells;
    size_t years = demand->count / YEAR;
    *season = (struct season){.chance = 1};
    for (size_t period = 0; period < SEASON_PERIODS; period++)
        season->index[period] = 1;
    if (years < 2)
        return;
    fill_cells(demand, years > YEARS_MOST ? YEARS_MOST : years, &cells);
    if (!(cells.mean > 0))
        return;
    season->chance = chance_of(&cells);
    season->found = season->chance <= rare;
    for (size_t period = 0; season->found && period < SEASON_PERIODS; period++)
        season->index[period] = fmax(index_least, mean_of(&cells, period) / cells.mean);
}
