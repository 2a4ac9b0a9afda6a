/* Whether demand goes with the time of the year, and how. A year is 52 weeks, parted into 13 periods of four weeks each; their
 * means over the years are compared with how much one period differs from year to year (analysis of variance, one way: any
 * textbook of statistics). Only what chance alone would show once in a hundred times or less is taken for a season: a reorder
 * point that follows chance is worse than one that follows none.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_SEASON_H
#define ELLWAND_REPLENISH_SEASON_H

#include "replenish/replenish.h"

struct season {
    bool found;
    double chance; /* of differences so large without any season; 1 when there are not two whole years */
    double index[SEASON_PERIODS]; /* demand of the period over that of the whole year; all 1 unless found */
};

/* `demand` as reorder_compute takes it; its last week is the last one before now. */
void season_find(const struct demand *demand, struct season *season);

/* The period of a week that lies `back` weeks before the last one (0: that one), or `ahead` weeks after it (1: the next). */
size_t season_back(size_t back);
size_t season_ahead(size_t ahead);

/* Probability that a variable of Fisher's F distribution with these degrees of freedom is above f: the regularised incomplete
 * beta function I_x(d2/2, d1/2) at x = d2 / (d2 + d1 f) by its continued fraction (NIST DLMF 8.17.22), to 1e-12. NAN when an
 * input is out of its bounds: f >= 0, degrees above 0 to 1e6. */
double fisher_above(double f, double degrees_between, double degrees_within);

#endif
