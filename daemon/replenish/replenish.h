/* When to buy, and how much: from the demand of the past weeks to a reorder point and an order quantity.
 *
 * Pure computation: no clock, no store. Quantities are in the part's own unit (pieces, or tenths of a
 * millimetre for parts sold by length, or bars); money is in minor units; times are in weeks. Every result
 * carries the figures that it came from, so that it can explain itself.
 *
 * Sources: reorder point, safety stock, economic quantity and loss function as in any operations-management
 * textbook (e.g. Stevenson, Operations Management; Heizer and Render, Operations Management; Chopra and
 * Meindl, Supply Chain Management). That the normal distribution misleads below about ten a lead time: from
 * memory. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_REPLENISH_H
#define ELLWAND_REPLENISH_REPLENISH_H

#include "common/fault.h"

#include <stddef.h>
#include <stdint.h>

enum demand_law {
    DEMAND_NONE,      /* nothing was used: buy only what is ordered */
    DEMAND_NORMAL,    /* enough of it a lead time, and not in lumps */
    DEMAND_POISSON,   /* little, and as even as chance makes it, over a lead time that may vary */
    DEMAND_EMPIRICAL, /* little, or in lumps: what the weeks of the history show, put together (lumps.h) */
};
extern const char *const demand_law_words[]; /* in that order, NULL-closed */

struct demand {
    const double *weeks; /* what was used in each past week, oldest first; none below 0 */
    size_t count;        /* 1 to 1040 */
    /* Weeks in which the workshop was shut: they say nothing of demand, and are as if they had not been. NULL: none. */
    const bool *closed;
    bool measured; /* a length, not a number of pieces: Poisson's law, which counts, is not for it */
};

enum { SEASON_PERIODS = 13 }; /* of a year, four weeks each; see season.h */

struct lead_time {
    double mean;      /* weeks, 0.1 to 104 */
    double deviation; /* standard deviation, weeks; 0 when it never varies */
};

struct reorder {
    enum demand_law law;
    size_t weeks;           /* those that were open */
    double mean, deviation; /* demand a week, the season taken out */
    double season;          /* what the weeks of the next lead time are to that; 1 where there is no season */
    double index[SEASON_PERIODS]; /* the same for each period of the year, as season.h counts them */
    double lead_mean,
        lead_deviation; /* demand in the lead time: L d, sqrt(L sd_d^2 + d^2 sd_L^2), both times the season */
    double z;           /* of the service level; 0 unless the law is normal */
    double safety_stock; /* reorder point less the mean demand in the lead time */
    int64_t point;       /* order when on hand and on order together are at or below this; rounded up */
    double shortage;     /* expected short in one lead time at that point */
};

/* `service` is the wanted probability of no shortage in a lead time, 0.5 to 0.9999. Faults: "out-of-range"
 * with the name of the input in `where`. A history of two years and more is searched for a season. */
bool reorder_compute(const struct demand *demand, const struct lead_time *lead, double service,
                     struct reorder *reorder, struct fault *fault) MUST_CHECK;

/* Demand to be expected of the week that lies `ahead` weeks after the history (1: the next). */
double reorder_forecast(const struct reorder *reorder, size_t ahead);

/* For a known mean and deviation a week, by the normal distribution (what the textbooks' examples do). */
bool reorder_normal(double mean, double deviation, const struct lead_time *lead, double service,
                    struct reorder *reorder, struct fault *fault) MUST_CHECK;

struct price_break {
    int64_t from; /* this quantity and more */
    double price; /* minor units for one */
};

struct buying {
    double yearly;                    /* demand a year, above 0 */
    double order_cost;                /* minor units for one order, whatever its size */
    double holding_share;             /* of its price that one unit costs a year to keep, above 0 to 10 */
    int64_t pack;                     /* bought in whole packs of this many; 1 or more */
    int64_t least;                    /* the supplier's least order; 0 or more */
    const struct price_break *prices; /* rising `from`, the first one's at most `least` or 1 */
    size_t price_count;               /* 1 to 16 */
};

struct lot {
    double economic;    /* sqrt(2 D S / H) at the price that won, before packs */
    int64_t quantity;   /* whole packs, at least `least` */
    double price;       /* for one, at that quantity */
    double yearly_cost; /* goods, orders and keeping: D p + D S / Q + H Q / 2 */
};

/* The quantity of least yearly cost among the economic one of each price (in packs, rounded both ways) and
 * the least quantity of each price break. */
bool lot_compute(const struct buying *buying, struct lot *lot, struct fault *fault) MUST_CHECK;

/* Chance of no shortage in a cycle, expected shortage a cycle and share of demand met from stock for a
 * reorder point and order quantity, normal demand (Chopra and Meindl: CSL = Phi((r - m) / s), ESC = s L(z),
 * fill = 1 - ESC / Q). */
struct service {
    double cycle, shortage, fill;
};
struct service service_of(double lead_mean, double lead_deviation, double point, double quantity);

/* Whole bars that `metres` of cut track need at the yield that the saw really reached (0 < yield <= 1).
 * Rounded up; -1 when an input is out of its bounds. bar_metres is the length of one bar. */
int64_t bars_for(double metres, double bar_metres, double yield);

#endif
