/* A cutting plan as people see it. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_PLAN_VIEW_H
#define ELLWAND_CLIENT_PLAN_VIEW_H

#include "command.h"

/* Prints the answer of plan.show: its figures, its bars drawn to scale in sawing order, what is left out and what to buy. */
void plan_view(const struct screen *screen, const json_t *plan);

/* Draws one of its bars to scale, without its totals. */
void plan_view_bar(const struct screen *screen, const json_t *plan, const json_t *bar);

/* One line for each kind of label that a verb queued, or the reason why it did not. */
void labels_view(const struct screen *screen, const json_t *answer);

/* Waits, showing how far the solver is, until the plan is neither queued nor being solved, or until the settings' time limit
 * and `seconds` have passed. On EXIT_DONE the caller owns *plan, as plan.show gives it. */
int plan_wait(struct program *program, int64_t id, double seconds, json_t **plan) MUST_CHECK;

#endif
