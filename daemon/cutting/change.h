/* A plan made anew changes as little as it can. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHANGE_H
#define ELLWAND_CUTTING_CHANGE_H

#include "cutting/plan.h"
#include "cutting/watch.h"

/* Plans a problem that is part of another. */
typedef bool change_solve(const struct cutting_problem *problem, struct watch *watch,
                          struct cutting_plan *plan, struct fault *fault);

/* Where the plan of `problem` can keep bars of `problem`'s earlier plan at no more cost, makes it do so: bars are held
 * fast, all or ever smaller parts of them, and the rest is solved again. What is cut and the bound stay; the plan's bars,
 * cost, returns and `change` are set, its order and what it asks of the saw are not. On failure the plan is as it was. */
bool change_least(const struct cutting_problem *problem, change_solve *solve, struct watch *watch,
                  struct cutting_plan *plan, struct fault *fault) MUST_CHECK;

#endif
