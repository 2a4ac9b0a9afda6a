/* Demand that comes in lumps, over a lead time: by no law of its own, but by what the weeks of the history were.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_LUMPS_H
#define ELLWAND_REPLENISH_LUMPS_H

#include "common/fault.h"
#include "replenish/replenish.h"

#include <stddef.h>
#include <stdint.h>

struct lumps {
    double point;    /* what covers the lead time with the asked probability */
    double shortage; /* expected beyond it */
};

/* Each week of the lead time is as likely to be any week of the history (resampling, as in any textbook of the bootstrap; put
 * together exactly, not by drawing). A part of a week is a week with that probability. A lead time that varies is one
 * deviation shorter or longer, either with half the probability: the right mean and variance. Because the next week may be
 * larger than all before, the history's quantile is taken at service (1 + 1 / count), which is what a sample of independent
 * weeks needs; but at no more than half the asked risk, for a short history shows no rarer one.
 * Sums are told apart to 1/2048 of the largest possible, exactly where whole pieces allow it, else rounded up.
 * `weeks` 1 to 1040 of them, none below 0 and one above. Faults: "out-of-memory". */
bool lumps_cover(const double *weeks, size_t count, const struct lead_time *lead, double service,
                 struct lumps *lumps, struct fault *fault) MUST_CHECK;

#endif
