/* Tracks that may be joined at several places: which lengths their pieces get. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_JOIN_H
#define ELLWAND_CUTTING_JOIN_H

#include "cutting/plan.h"
#include "cutting/watch.h"

struct join_answer {
    size_t *chosen;                         /* alternative of each join, owned */
    int64_t bound;                          /* no plan costs less whatever is chosen; INT64_MIN: not known */
    struct cutting_certificate certificate; /* of the bound */
};

/* Relaxes all alternatives together, takes of each join what the relaxation takes most of, and improves the choice one
 * join at a time as far as heuristics tell. `fixed` is a copy of the problem with no joins, whose pieces get the chosen
 * lengths; the caller frees both answers (join_answer_free, and the copy with cutting_problem_free). */
bool join_choose(const struct cutting_problem *problem, struct watch *watch, struct cutting_problem *fixed,
                 struct join_answer *answer, struct fault *fault) MUST_CHECK;
void join_answer_free(struct join_answer *answer);

#endif
