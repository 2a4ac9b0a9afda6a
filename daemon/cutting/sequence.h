/* In which order the bars are sawn. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SEQUENCE_H
#define ELLWAND_CUTTING_SEQUENCE_H

#include "cutting/plan.h"
#include "cutting/watch.h"

/* Puts the plan's runs into an order in which bars cut alike stand together (blocks.h), so that the saw is set up once for
 * them and takes them as many at once as it can; among such orders few kits are open at once, and then the urgent ones come
 * early. Up to SEQUENCE_EXACT runs the order is the best there is, found over all sets of runs already sawn (Garcia de la
 * Banda, Stuckey 2007); beyond that it is made step by step, or by urgency alone once the watch is over. Fills the efforts' open kits, and what
 * the order asks of the saw. False for
 * want of memory. */
enum { SEQUENCE_EXACT = 12 };
bool sequence_plan(const struct cutting_problem *problem, struct watch *watch,
                   struct cutting_plan *plan) MUST_CHECK;

/* So many kits at least are open at once in whatever order the runs are sawn; the kits of run r are
 * of_run[from[r] .. from[r + 1]), each once. Two kits of one run are open together; where kits stand from their first to
 * their last run, those that are pairwise open together are so at one moment, and the graph of such pairs has a kit with
 * fewer neighbours than that moment has kits, as has every part of it: so one more than its degeneracy is a bound. */
int64_t sequence_bound(size_t runs, const size_t *from, const size_t *of_run, size_t kits,
                       struct watch *watch);

#endif
