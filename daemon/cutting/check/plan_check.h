/* Checks a cutting plan from the two documents alone. Shares no code with the optimiser: a mistake there
 * cannot hide here. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_PLAN_CHECK_H
#define ELLWAND_CUTTING_CHECK_PLAN_CHECK_H

#include "common/fault.h"

#include <jansson.h>

/* `problem` and `plan` as described in cutting/problem.h and cutting/plan.h. True when all of this holds:
 *   - every piece is cut as often as wanted or stands in "unmet", with a reason that is true;
 *   - no bar is used more often than there are, none is too long for the saw;
 *   - on every bar the pieces fit with their kerfs, and length = lead_trim + pieces + dust + remainder to the
 * tenth;
 *   - remainders go back only when long enough and while there are places;
 *   - the cost is what the bars and remainders add up to;
 *   - bound <= cost; proven only when they are equal and of everything left out it is proven that it had to be;
 *   - "effort" says what the order of its bars asks of the saw and of the kits, and no bound is above it;
 *   - "change" claims no more earlier bars kept than there are;
 *   - the certificate, where there is one, proves the bound; so does the material where it is said to.
 * Otherwise false and fault: "bad-plan" with the place and what is wrong there, or what is wrong with the
 * documents. */
bool plan_check(const json_t *problem, const json_t *plan, struct fault *fault) MUST_CHECK;

#endif
