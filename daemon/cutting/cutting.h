/* Solving a cutting problem: least net material, with a proven bound.
 *
 *     struct cutting_problem problem;
 *     struct cutting_plan plan;
 *     struct cutting_options options = cutting_options_default();
 *     if (cutting_problem_read(json, &problem, &fault) && cutting_solve(&problem, &options, &plan, &fault))
 * ...
 *
 * Objective, in this order: every piece is cut, and where stock is short the most urgent are; least cost; and
 * the plan says what bound holds for any plan that cuts the same pieces. No input or output, no clock but the
 * one given, no state between calls: any number of threads may solve different problems at once.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CUTTING_H
#define ELLWAND_CUTTING_CUTTING_H

#include "cutting/plan.h"

#include <stdatomic.h>

struct cutting_progress {
    const char *phase; /* a constant word: "start", "heuristics", "prices", "search" */
    int64_t best;      /* cost of the best plan so far, tenths */
    int64_t bound;     /* no plan costs less */
    bool has_best;     /* best means something */
    double seconds;
};

/* Steps of search after which a call ends that has neither a time nor a work limit: what is not proven by then, in some
 * minutes, may take longer than anyone waits. */
#define CUTTING_WORK_DEFAULT ((int64_t)100000000)

struct cutting_options {
    double seconds; /* time limit, by `clock`; 0: none */
    int64_t
        work; /* limit in steps of search, the same on every machine; 0: none, or CUTTING_WORK_DEFAULT where no
                       time limit holds either */
    size_t memory; /* bytes the search may hold beyond the problem and the plan; 0: none */
    uint64_t seed;
    int threads;           /* 1 or 2 */
    double (*clock)(void); /* seconds that never run back; NULL: no time limit, and plan.ms is 0 */
    const atomic_bool
        *cancel; /* set it from another thread: the best so far comes back within some 20 ms; may be NULL */
    /* Called in the solving thread whenever figures get better; false ends the search. May be NULL. */
    bool (*progress)(void *data, const struct cutting_progress *progress);
    void *progress_data;
};

/* 10 s, 512 MiB, seed 1, one thread, the steady clock of this machine. */
struct cutting_options cutting_options_default(void);
/* CLOCK_MONOTONIC in seconds. */
double cutting_steady_clock(void);

/* Plans the whole problem. A limit reached or a cancel is no failure: the best plan found comes back with
 * `stopped` set. The caller frees the plan. fault: as cutting_problem_check; "out-of-memory". On failure
 * `plan` is empty. Same problem, seed and work limit, and no time limit reached: same plan. */
bool cutting_solve(const struct cutting_problem *problem, const struct cutting_options *options,
                   struct cutting_plan *plan, struct fault *fault) MUST_CHECK;

#endif
