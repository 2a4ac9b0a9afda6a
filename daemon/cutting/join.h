/* Tracks that may be joined at several places: which lengths their pieces get. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_JOIN_H
#define ELLWAND_CUTTING_JOIN_H

#include "cutting/change.h"
#include "cutting/plan.h"
#include "cutting/watch.h"

struct join_answer {
    size_t *chosen;                         /* alternative of each join, owned */
    int64_t bound;                          /* no plan costs less whatever is chosen; INT64_MIN: not known */
    struct cutting_certificate certificate; /* of the bound */
    int64_t
        every; /* the same by solving every choice, where they are few and all were proven; else INT64_MIN */
};

/* Relaxes all alternatives together, takes of each join what the relaxation takes most of, and improves the choice one
 * join at a time as far as heuristics tell. `fixed` is a copy of the problem with no joins, whose pieces get the chosen
 * lengths; the caller frees both answers (join_answer_free, and the copy with cutting_problem_free). */
bool join_choose(const struct cutting_problem *problem, struct watch *watch, struct cutting_problem *fixed,
                 struct join_answer *answer, struct fault *fault) MUST_CHECK;
/* Gives the pieces of the join the lengths of an alternative. */
void join_take(const struct cutting_problem *problem, size_t join, size_t alternative,
               struct cutting_problem *fixed);

/* Solves every other choice too where they are few and soon proven: the relaxation of all together is far below what any one costs when
 * there are only a few bars. `plan` is of answer->chosen and cuts everything; both are of the best choice afterwards, the first one
 * met where several cost as much. */
bool join_every(const struct cutting_problem *problem, struct cutting_problem *fixed, change_solve *solve,
                struct watch *watch, struct join_answer *answer, struct cutting_plan *plan,
                struct fault *fault) MUST_CHECK;

void join_answer_free(struct join_answer *answer);

#endif
