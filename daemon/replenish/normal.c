/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/normal.h"

#include "replenish/season.h"

#include <math.h>

static double density(double z) {
    return exp(-z * z / 2) / sqrt(2 * M_PI);
}

double normal_below(double z) {
    return erfc(-z / M_SQRT2) / 2;
}

double normal_quantile(double p) {
    if (!(p > 0 && p < 1))
        return NAN;
    /* The lower tail keeps its digits in erfc; the upper one is its mirror image. */
    if (p > 0.5)
        return -normal_quantile(1 - p);
    double low = -40, high = 0, z = -1;
    for (int i = 0; i < 200; i++) {
        double off = normal_below(z) - p;
        if (off > 0)
            high = z;
        else
            low = z;
        double next = z - off / density(z);
        if (!(next > low && next < high))
            next = (low + high) / 2;
        if (fabs(next - z) < 1e-15 * (1 + fabs(z)))
            return next;
        z = next;
    }
    return z;
}

/* For large z both terms of the loss are nearly equal; the asymptotic series of Mills' ratio keeps the
 * difference: L(z) = phi(z) (1/z^2 - 3/z^4 + 15/z^6 - 105/z^8 + ...), from 1 - Phi = phi/z (1 - 1/z^2 + 3/z^4
 * - ...). */
static double far_loss(double z) {
    double square = 1 / (z * z), term = square, sum = 0;
    for (int k = 1; k <= 12; k++) {
        sum += term;
        double next = -term * (2 * k + 1) * square;
        if (fabs(next) >= fabs(term))
            break;
        term = next;
    }
    return density(z) * sum;
}

double normal_loss(double z) {
    return z > 12 ? far_loss(z) : density(z) - z * erfc(z / M_SQRT2) / 2;
}

double poisson_below(double mean, int64_t count) {
    if (count < 0)
        return 0;
    if (mean <= 0)
        return 1;
    /* Summed from the largest term outward in logarithms, so that neither exp(-mean) nor a power runs off. */
    int64_t peak = count < (int64_t)mean ? count : (int64_t)mean;
    double top = (double)peak * log(mean) - mean - lgamma((double)peak + 1), sum = 1, term = 1;
    for (int64_t k = peak; k > 0 && term > 1e-18; k--)
        sum += term *= (double)k / mean;
    term = 1;
    for (int64_t k = peak + 1; k <= count && term > 1e-18; k++)
        sum += term *= mean / (double)k;
    double below = exp(top) * sum;
    return below > 1 ? 1 : below;
}

/* The least count that `below` gives p for. */
static int64_t least_count(double mean, double variance, double p) {
    int64_t low = -1, high = (int64_t)(mean + 10 * sqrt(variance) + 40);
    while (mixed_poisson_below(mean, variance, high) < p)
        high *= 2;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        if (mixed_poisson_below(mean, variance, middle) >= p)
            high = middle;
        else
            low = middle;
    }
    return high;
}

int64_t poisson_quantile(double mean, double p) {
    return p >= 0 && p < 1 && mean >= 0 && mean <= 1e6 ? least_count(mean, mean, p) : -1;
}

/* I_q(r, k + 1), the regularised incomplete beta function, which season.h has as a tail of Fisher's F. */
double mixed_poisson_below(double mean, double variance, int64_t count) {
    if (!(variance > mean * (1 + 1e-9)))
        return poisson_below(mean, count);
    if (count < 0)
        return 0;
    double q = mean / variance, twice_r = 2 * mean * q / (1 - q), twice_k = 2 * ((double)count + 1);
    return fisher_above(twice_r * (1 - q) / (q * twice_k), twice_k, twice_r);
}

int64_t mixed_poisson_quantile(double mean, double variance, double p) {
    bool good = p >= 0 && p < 1 && mean >= 0 && mean <= MIXED_POISSON_MOST;
    return good ? least_count(mean, variance, p) : -1;
}

double mixed_poisson_loss(double mean, double variance, int64_t count) {
    double loss = 0, above = 1;
    for (int64_t k = count; above > 1e-14 && k < count + 10 * (int64_t)MIXED_POISSON_MOST; k++)
        loss += above = 1 - mixed_poisson_below(mean, variance, k);
    return loss;
}
