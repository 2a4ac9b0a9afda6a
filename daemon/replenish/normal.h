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

#endif
