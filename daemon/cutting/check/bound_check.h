/* Is the bound that a plan claims really one? SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_BOUND_CHECK_H
#define ELLWAND_CUTTING_CHECK_BOUND_CHECK_H

#include "cutting/check/facts.h"

/* Checks the prices of plan.h's "certificate" against `bound` tenths, for the pieces that facts say were cut, with one
 * knapsack over all bars. fault "bad-certificate" when they prove less. */
bool certificate_check(const struct facts *facts, const json_t *certificate, int64_t bound,
                       struct fault *fault) MUST_CHECK;

/* The same for a bound from the material alone, tried at every fill of every bar. Bars above 2 km are taken on trust. */
bool material_check(const struct facts *facts, int64_t bound, struct fault *fault) MUST_CHECK;

#endif
