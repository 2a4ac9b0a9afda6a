/* The best layout for one model. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SEARCH_H
#define ELLWAND_CUTTING_SEARCH_H

#include "cutting/layout.h"
#include "cutting/plan.h"
#include "cutting/watch.h"

struct finding {
    struct layout layout; /* the best found; its `unmet` pieces could not be placed */
    int64_t bound;        /* no layout without unmet pieces costs less */
    enum cutting_proof proof;
    struct cutting_certificate certificate;
};

void finding_free(struct finding *finding);

/* Heuristics only; a few passes. Enough to ask whether everything can be placed. False for want of memory. */
bool search_quick(const struct model *model, int64_t passes, struct watch *watch,
                  struct layout *best) MUST_CHECK;

/* Everything there is, until proven or the watch is over. */
bool search_best(const struct model *model, struct watch *watch, struct finding *finding,
                 struct fault *fault) MUST_CHECK;

#endif
