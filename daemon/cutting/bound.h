/* Bounds that need no search. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_BOUND_H
#define ELLWAND_CUTTING_BOUND_H

#include "cutting/model.h"

/* No plan for the model's demand costs less: each unit of width costs at least the least net cost per width
 * that any bar can reach, and the cheapest bars give only their capacity. Integer arithmetic throughout. */
int64_t bound_material(const struct model *model);

/* The step in which costs come: every plan's cost is a multiple of it (1 where remainders have worth). */
int64_t bound_step(const struct model *model);

/* The least possible cost that is `bound` or more. */
int64_t bound_round_up(int64_t bound, int64_t step);

#endif
