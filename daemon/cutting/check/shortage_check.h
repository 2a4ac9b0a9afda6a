/* Is it true that what a plan left out had to be? SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_SHORTAGE_CHECK_H
#define ELLWAND_CUTTING_CHECK_SHORTAGE_CHECK_H

#include "cutting/check/facts.h"

/* Checks what the plan's "unmet" list says of pieces left out for want of stock, after `cut` of every piece has been
 * counted: that not one more of each fits beside what is cut of the pieces more urgent. What follows from material, prices
 * or another piece is worked out again; a search is taken on trust. *all: each has a proof. fault "bad-plan",
 * "bad-certificate". */
bool shortage_check(struct facts *facts, const json_t *unmet, bool *all, struct fault *fault) MUST_CHECK;

#endif
