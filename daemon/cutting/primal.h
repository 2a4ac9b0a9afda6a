/* Plans from the relaxation. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PRIMAL_H
#define ELLWAND_CUTTING_PRIMAL_H

#include "cutting/relax.h"

/* Takes the whole parts of a relaxed solution, then patterns by falling fraction while they fit, and fills up
 * what is left in several ways. Offers every plan to the engine. `scope` is the one relaxed; NULL: its prices
 * are not used. */
void primal_round(struct engine *engine, const struct scope *scope, const struct relaxed *relaxed);

/* Fixes patterns step by step and relaxes again what is left, until everything is placed or no better plan
 * can come of it. `nudge` varies the choices. */
void primal_dive(struct engine *engine, const struct relaxed *root, uint64_t nudge);

/* Takes a relaxed solution that is whole numbers as it is. False when it is not. */
bool primal_integral(struct engine *engine, const struct relaxed *relaxed);

#endif
