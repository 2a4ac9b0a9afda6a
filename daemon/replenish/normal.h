/* The normal and Poisson distributions, as stock control needs them.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_NORMAL_H
#define ELLWAND_REPLENISH_NORMAL_H

#include <stdint.h>

/* Probability that a standard normal variable is at most z: erfc(-z / sqrt 2) / 2. */
double normal_below(double z);

/* The z with normal_below(z) = p, for 0 < p < 1, to 1e-12; NAN otherwise. Newton's method on erfc within a
 * bracket. */
double normal_quantile(double p);

/* Unit normal loss L(z) = phi(z) - z (1 - Phi(z)): the expected shortage in units of one standard deviation
 * when stock is z of them above the mean (any operations-management textbook). Keeps its digits for large z.
 */
double normal_loss(double z);

/* Probability that a Poisson variable of this mean is at most `count` (0 when count < 0). Mean up to 1e6. */
double poisson_below(double mean, int64_t count);

/* The least count with poisson_below(mean, count) >= p, for 0 <= p < 1; -1 otherwise. */
int64_t poisson_quantile(double mean, double p);

/* Poisson's law over a lead time that varies as a gamma variable does: the negative binomial with this mean and variance (fact of
 * any textbook of inventory control, e.g. Silver, Pyke and Peterson: from memory); Poisson's own where the variance is no more
 * than the mean. Probability of at most `count`; 0 below 0. Mean up to MIXED_POISSON_MOST, variance up to 1e4 times that. */
enum { MIXED_POISSON_MOST = 100000 };
double mixed_poisson_below(double mean, double variance, int64_t count);

/* The least count with mixed_poisson_below(mean, variance, count) >= p, for 0 <= p < 1; -1 otherwise. */
int64_t mixed_poisson_quantile(double mean, double variance, double p);

/* Expected excess over `count`: the sum of what lies above every number from `count` on. */
double mixed_poisson_loss(double mean, double variance, int64_t count);

#endif
