/* Can all of this be cut from what there is? SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SHORTAGE_ASK_H
#define ELLWAND_CUTTING_SHORTAGE_ASK_H

#include "cutting/plan.h"
#include "cutting/watch.h"

enum answer { ANSWER_YES, ANSWER_NO, ANSWER_UNKNOWN };

/* Whether `demand`, one number a line of pieces, can be cut, searched with at most `work` steps: whatever the batches, or
 * with those of pieces that must match where `matching`. Bars
 * of the stock cost nothing there, and one that can hold any piece is to be had without limit for money: where that is
 * needed, the answer is no. Then *proof says how it is known and *certificate (empty before; the caller frees its arrays)
 * holds prices where it was by them. fault "out-of-memory". */
bool shortage_ask(const struct cutting_problem *problem, const int64_t *demand, bool matching, int64_t work,
                  struct watch *watch, enum answer *answer, enum cutting_proof *proof,
                  struct cutting_certificate *certificate, struct fault *fault) MUST_CHECK;

#endif
