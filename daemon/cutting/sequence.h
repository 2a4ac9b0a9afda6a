/* In which order the bars are sawn. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SEQUENCE_H
#define ELLWAND_CUTTING_SEQUENCE_H

#include "cutting/plan.h"

/* Puts the plan's runs into an order in which few kits are open at once, and among such orders the urgent ones come
 * early. Up to SEQUENCE_EXACT runs the order is the best there is, found over all sets of runs already sawn (Garcia de la
 * Banda, Stuckey 2007); beyond that it is made step by step. Fills the efforts' open kits. False for want of memory. */
enum { SEQUENCE_EXACT = 12 };
bool sequence_plan(const struct cutting_problem *problem, struct cutting_plan *plan) MUST_CHECK;

#endif
