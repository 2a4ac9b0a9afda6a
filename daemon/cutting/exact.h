/* From a heuristic plan to a proven one. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_EXACT_H
#define ELLWAND_CUTTING_EXACT_H

#include "cutting/columns.h"
#include "cutting/search.h"

/* Improves `finding` by relaxation, rounding, diving and branching, until its cost is its bound or the watch
 * is over. `certificate`, to be freed by the caller, is filled where prices prove the bound. */
bool exact_improve(const struct model *model, struct watch *watch, struct finding *finding,
                   struct fault *fault) MUST_CHECK;

/* The same by branch and bound over all patterns, of which there are few; `finding` leaves nothing out. What it may leave
 * open is for exact_improve. */
bool exact_small(const struct model *model, const struct columns *columns, struct watch *watch,
                 struct finding *finding, struct fault *fault) MUST_CHECK;

#endif
