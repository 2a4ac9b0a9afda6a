/* The last gap: an integer program over the few patterns that a better plan could use, with subset-row cuts
 * (Jepsen, Petersen, Spoorendonk, Pisinger 2008; on this use: Baldacci, Coniglio, Cordeau, Furini 2024).
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_FINISH_H
#define ELLWAND_CUTTING_FINISH_H

#include "cutting/enumerate.h"

/* `list` holds every pattern that a plan cheaper than the engine's target could use. Searches them; offers
 * what it finds. Returns a bound: no plan costs less; the best cost when the search was complete, INT64_MIN
 * when nothing came of it. */
int64_t finish_search(struct engine *engine, const struct choice_list *list);

#endif
