/* From patterns of types to bars and pieces with names. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_ASSEMBLE_H
#define ELLWAND_CUTTING_ASSEMBLE_H

#include "cutting/layout.h"
#include "cutting/plan.h"

/* Fills the plan's runs and cost from a settled layout: the oldest bars of a class first, the most urgent
 * lines of a type first. The plan must be empty; it is the caller's to free also after failure. */
bool assemble_plan(const struct model *model, const struct layout *layout, struct cutting_plan *plan,
                   struct fault *fault) MUST_CHECK;

#endif
