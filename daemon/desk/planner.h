/* The planner: one thread that takes queued plans, solves them, and stores what passed the checker.
 *
 * A plan is held by a lease in the database, renewed while its solver runs. When a daemon dies the lease runs
 * out and any daemon takes the plan again; when it is stopped in good order the plan goes back to the queue
 * at once. Pieces and bars are not locked while a plan is solved: orders come and go meanwhile, and where
 * that touched the plan it is solved again. The threads are started and stopped through desk/inner.h.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PLANNER_H
#define ELLWAND_DESK_PLANNER_H

#include "desk/inner.h"
#include "desk/solver.h"

/* One plan being solved. */
struct planning {
    struct desk *desk;
    int64_t plan;
    int time_limit_ms;
    json_t *problem; /* the document; owned */
};

/* How a plan's storing went. */
enum planner_stored { PLANNER_STORED, PLANNER_CHANGED, PLANNER_LOST };

/* Each is one transaction of its own. */
bool planner_claim(struct planning *planning, bool *claimed, struct fault *fault) MUST_CHECK;
/* Reads the problem as things stand now; planning->problem is NULL when no piece is waiting. */
bool planner_read(struct planning *planning, struct fault *fault) MUST_CHECK;
/* Renews the lease; *stop when somebody asked for it, or when the plan is no longer ours. */
bool planner_renew(struct planning *planning, bool *stop, struct fault *fault) MUST_CHECK;
bool planner_tell(struct planning *planning, const struct solver_news *news, struct fault *fault) MUST_CHECK;
bool planner_store(struct planning *planning, const json_t *result, enum planner_stored *stored,
                   struct fault *fault) MUST_CHECK;
/* Ends the plan without a result, in `state` ("failed" or "dropped"), or gives it back to the queue. */
bool planner_end(struct planning *planning, const char *state, const char *why,
                 struct fault *fault) MUST_CHECK;
bool planner_requeue(struct planning *planning, struct fault *fault) MUST_CHECK;

#endif
