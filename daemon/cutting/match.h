/* Pieces that must match, at the least cost over every choice of batches.
 *
 * Each group of pieces takes one batch. In the relaxation a length has a type for each batch that it may come from, and of
 * each group one batch in all is taken; what that leaves open is searched as a program in whole numbers over every pattern
 * that a cheaper plan could use. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_MATCH_H
#define ELLWAND_CUTTING_MATCH_H

#include "cutting/batches.h"
#include "cutting/search.h"

/* The best layout for `wanted` (one number a line of pieces) in which every group of `batches` comes from one batch, led
 * by where `plan` cuts them. Its model is that of the wish {wanted, batches->of_piece, batches->of_bar}. `floor`: a bound
 * that is known already. Where finding->proof is CUTTING_PROOF_NONE, finding->bound is `floor`; else it was found by a
 * search that knew of batches. Certificates are not given. fault "out-of-memory"; `finding` is then empty. */
bool match_best(const struct cutting_problem *problem, const int64_t *wanted, struct batches *batches,
                const struct cutting_plan *plan, int64_t floor, struct watch *watch, struct finding *finding,
                struct fault *fault) MUST_CHECK;

#endif
