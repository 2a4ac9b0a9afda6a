/* A stock over the weeks to come: what is there, what comes in, what open orders and the forecast take.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_PROJECT_H
#define ELLWAND_REPLENISH_PROJECT_H

#include "common/fault.h"

#include <stddef.h>

enum { PROJECT_WEEKS = 104 };

struct project_week {
    double coming;  /* open purchases expected in the week */
    double ordered; /* what open orders due in the week still take */
    double
        forecast; /* what the history lets expect of the week, open orders and those not yet taken together */
    double stock; /* at its end; what project_compute reckons */
};

struct project {
    size_t below; /* the first week that ends below the safety stock; the count when none does */
    size_t out;   /* the first week that ends below nothing */
};

/* Of each week's forecast, what is ordered already is no more to be expected: the larger of the two is taken (forecast
 * consumption, common practice, no source). So stock = stock before + coming - max(ordered, forecast). Quantities in the
 * thing's own unit; all but `on_hand` and `stock` 0 or more. Faults: "out-of-range" with its place in `where`. */
bool project_compute(double on_hand, double safety, struct project_week *weeks, size_t count,
                     struct project *project, struct fault *fault) MUST_CHECK;

#endif
