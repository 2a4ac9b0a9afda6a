/* Is what a plan says of the work that it makes true? SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_EFFORT_CHECK_H
#define ELLWAND_CUTTING_CHECK_EFFORT_CHECK_H

#include "cutting/check/facts.h"

/* Counts along the plan's runs how often the stops change, how often bars are put on the saw, the most kits open at once
 * and the remainders that go back, and compares with "effort" (NULL: nothing to compare): "after" is each of these, and no
 * "bound" is above it. fault "bad-plan". */
bool effort_check(const struct facts *facts, const json_t *runs, const json_t *effort,
                  struct fault *fault) MUST_CHECK;

#endif
