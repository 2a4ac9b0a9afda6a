/* Reorder points. SPDX-License-Identifier: Apache-2.0 */
#include "replenish/lumps.h"
#include "replenish/normal.h"
#include "replenish/replenish.h"
#include "replenish/season.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const demand_law_words[] = {"none", "normal", "poisson", "empirical", NULL};

enum { WEEKS_MOST = 1040, FEW = 10 };

static bool check_lead(const struct lead_time *lead, double service, struct fault *fault) {
    if (!(lead->mean >= 0.1 && lead->mean <= 104))
        return fault_set(fault, "out-of-range", "lead time", "A lead time is 0.1 to 104 weeks.");
    if (!(lead->deviation >= 0 && lead->deviation <= 104))
        return fault_set(fault, "out-of-range", "lead time", "Its deviation is 0 to 104 weeks.");
    if (!(service >= 0.5 && service <= 0.9999))
        return fault_set(fault, "out-of-range", "service level", "A service level is 0.5 to 0.9999.");
    return true;
}

/* Up to the next whole unit, but not for a rounding error of the arithmetic. */
static int64_t whole_up(double quantity) {
    return (int64_t)ceil(quantity - 1e-9 * (1 + fabs(quantity)));
}

static void fill_lead(struct reorder *made, const struct lead_time *lead) {
    made->lead_mean = made->season * lead->mean * made->mean;
    made->lead_deviation = made->season * sqrt(lead->mean * made->deviation * made->deviation +
                                               made->mean * made->mean * lead->deviation * lead->deviation);
}

static void by_normal(struct reorder *made, double service) {
    made->law = DEMAND_NORMAL;
    made->z = normal_quantile(service);
    made->safety_stock = made->z * made->lead_deviation;
    made->point = whole_up(made->lead_mean + made->safety_stock);
    made->shortage = made->lead_deviation > 0
                         ? made->lead_deviation *
                               normal_loss(((double)made->point - made->lead_mean) / made->lead_deviation)
                         : 0;
}

bool reorder_normal(double mean, double deviation, const struct lead_time *lead, double service,
                    struct reorder *reorder, struct fault *fault) {
    if (!(mean >= 0 && mean <= 1e12) || !(deviation >= 0 && deviation <= 1e12))
        return fault_set(fault, "out-of-range", "demand", "Demand a week and its deviation are 0 to 1e12.");
    if (!check_lead(lead, service, fault))
        return false;
    struct reorder made = {.mean = mean, .deviation = deviation, .season = 1};
    for (size_t i = 0; i < SEASON_PERIODS; i++)
        made.index[i] = 1;
    fill_lead(&made, lead);
    by_normal(&made, service);
    *reorder = made;
    return true;
}

/* With a lead time that varies its demand is Poisson's over a chance length, which is a negative binomial. */
static void by_poisson(struct reorder *made, const struct lead_time *lead, double service) {
    double varies = made->season * made->mean * lead->deviation;
    double variance = made->lead_mean + varies * varies;
    made->law = DEMAND_POISSON;
    made->lead_deviation = sqrt(variance);
    made->point = mixed_poisson_quantile(made->lead_mean, variance, service);
    made->safety_stock = (double)made->point - made->lead_mean;
    made->shortage = mixed_poisson_loss(made->lead_mean, variance, made->point);
}

/* What the weeks of the history show, put together to lead times (lumps.h). */
static bool by_history(struct reorder *made, const struct demand *demand, const struct lead_time *lead,
                       double service, struct fault *fault) {
    struct lumps lumps;
    if (!lumps_cover(demand->weeks, demand->count, lead, service, &lumps, fault))
        return false;
    made->law = DEMAND_EMPIRICAL;
    made->point = whole_up(lumps.point * made->season);
    made->safety_stock = (double)made->point - made->lead_mean;
    made->shortage = lumps.shortage * made->season;
    return true;
}

static bool check_demand(const struct demand *demand, struct fault *fault) {
    if (demand->count < 1 || demand->count > WEEKS_MOST)
        return fault_set(fault, "out-of-range", "history", "A history has 1 to %d weeks.", WEEKS_MOST);
    for (size_t i = 0; i < demand->count; i++)
        if (!(demand->weeks[i] >= 0 && demand->weeks[i] <= 1e12)) {
            char where[32];
            snprintf(where, sizeof where, "history[%zu]", i);
            return fault_set(fault, "out-of-range", where, "What was used in a week is 0 to 1e12.");
        }
    return true;
}

static void describe(const struct demand *demand, struct reorder *made) {
    made->mean = made->deviation = 0;
    for (size_t i = 0; i < demand->count; i++)
        made->mean += demand->weeks[i] / (double)demand->count;
    double squares = 0;
    for (size_t i = 0; i < demand->count; i++)
        squares += (demand->weeks[i] - made->mean) * (demand->weeks[i] - made->mean);
    made->deviation = demand->count > 1 ? sqrt(squares / (double)(demand->count - 1)) : 0;
}

/* The weeks that were open, each as it would have been without its season; returns how many. */
static size_t take_season_out(const struct demand *demand, const struct season *season,
                              double weeks[WEEKS_MOST]) {
    size_t count = 0;
    for (size_t i = 0; i < demand->count; i++)
        if (demand->closed == NULL || !demand->closed[i])
            weeks[count++] = demand->weeks[i] / season->index[season_back(demand->count - 1 - i)];
    return count;
}

/* The season of the lead time that begins now. */
static double season_of_lead(const struct season *season, const struct lead_time *lead) {
    size_t span = (size_t)ceil(lead->mean - 1e-9);
    double sum = 0;
    for (size_t ahead = 1; ahead <= span; ahead++)
        sum += season->index[season_ahead(ahead)];
    return sum / (double)span;
}

double reorder_forecast(const struct reorder *reorder, size_t ahead) {
    return reorder->mean * reorder->index[season_ahead(ahead)];
}

/* Variance over mean is 1 for Poisson; its own spread over n weeks is about sqrt(2 / (n - 1)), so two of
 * those. */
static bool as_even_as_chance(const struct reorder *made, size_t weeks) {
    double ratio = made->deviation * made->deviation / made->mean;
    return weeks < 2 || ratio <= 1 + 2 * sqrt(2 / (double)(weeks - 1));
}

/* A deviation of more than a third of the mean would make a demand below nothing likelier than once in 740 lead times, and such
 * demand is skewed: then the normal law is not that of this demand. */
static bool in_lumps(const struct reorder *made, const struct lead_time *lead) {
    return made->season * made->deviation * sqrt(lead->mean) > made->lead_mean / 3;
}

bool reorder_compute(const struct demand *demand, const struct lead_time *lead, double service,
                     struct reorder *reorder, struct fault *fault) {
    if (!check_demand(demand, fault) || !check_lead(lead, service, fault))
        return false;
    struct season season;
    double weeks[WEEKS_MOST];
    season_find(demand, &season);
    struct demand open = {weeks, take_season_out(demand, &season, weeks), NULL, demand->measured};
    struct reorder made = {.law = DEMAND_NONE, .weeks = open.count, .season = season_of_lead(&season, lead)};
    memcpy(made.index, season.index, sizeof made.index);
    if (open.count > 0)
        describe(&open, &made);
    fill_lead(&made, lead);
    /* One week shows no deviation; what is counted may still be as even as chance makes it. */
    bool counted_once = open.count < 2 && !demand->measured && made.lead_mean <= MIXED_POISSON_MOST;
    if (made.mean > 0 && !counted_once && (demand->measured || made.lead_mean >= FEW) &&
        !in_lumps(&made, lead))
        by_normal(&made, service);
    else if (made.mean > 0 && !demand->measured && as_even_as_chance(&made, open.count))
        by_poisson(&made, lead, service);
    else if (made.mean > 0 && !by_history(&made, &open, lead, service, fault))
        return false;
    *reorder = made;
    return true;
}
