/* A thread that solves one cutting problem while another looks on.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_SOLVER_H
#define ELLWAND_DESK_SOLVER_H

#include "common/fault.h"

#include <jansson.h>
#include <stdint.h>

struct solver;

struct solver_news {
    unsigned long serial; /* grows with each report; 0: none yet */
    int64_t best, bound;  /* tenths of the bars' value; best is INT64_MAX before the first plan */
    char phase[24];
};

/* Starts solving `problem` (a problem document, borrowed until solver_end) for at most `seconds`. NULL and
 * fault when the document is bad or no thread is to be had. */
struct solver *solver_start(const json_t *problem, double seconds, struct fault *fault) MUST_CHECK;
/* Waits up to timeout_ms for the end. True when the solver is done. */
bool solver_wait(struct solver *solver, int timeout_ms);
void solver_news(struct solver *solver, struct solver_news *news);
/* Asks it to stop; its best plan so far then counts as the answer. */
void solver_stop(struct solver *solver);
/* Joins the thread and frees the solver. The plan document, checked, which the caller owns; NULL and fault
 * otherwise. */
json_t *solver_end(struct solver **solver, struct fault *fault) MUST_CHECK;

#endif
