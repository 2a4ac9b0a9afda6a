/* The published instances: one text file a set. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_BENCH_INSTANCES_H
#define ELLWAND_BENCH_INSTANCES_H

#include "cutting/problem.h"

#include <stdio.h>

struct instance {
    char name[64];
    char known[64]; /* the optimum as the file gives it, or "LB..UB" */
    int64_t capacity;
    struct cutting_problem problem; /* one bar "bar", any number; pieces "1", "2", ... */
};

/* Reads the next block of "instance NAME CAPACITY OPT" and "LENGTH DEMAND" lines. False at the end of the
 * file or when a line is neither; *bad tells which. The caller frees the problem. */
bool instance_next(FILE *file, struct instance *instance, bool *bad);

#endif
