/* Which offcuts to clear out: pure. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_CLEARING_H
#define ELLWAND_DESK_CLEARING_H

#include "common/fault.h"

#include <jansson.h>

/* With fewer weeks of history nothing is proposed: a quarter tells too little of a year. (Common practice, no source.) */
enum { CLEARING_WEEKS_ENOUGH = 13 };

struct clearing {
    double weeks;      /* to look ahead */
    int64_t age;       /* days: what came later is not proposed */
    double place_cost; /* of one place on the rack for a year, minor units */
};

/* Adds a row for each offcut of a group of the statement rack/clear_out to `rows`: {bar, system, finish, length, batch?,
 * place?, age_days, value, demand, chance, keep, cost, clear, why}. keep: chance x value; cost: of its place for that time;
 * clear: it is old enough, the history is long enough, and keeping it is worth less than its place. False and a fault as
 * clear_out_compute, or "out-of-memory". */
bool clearing_add(const json_t *group, const struct clearing *rules, json_t *rows,
                  struct fault *fault) MUST_CHECK;

/* The rows with those to clear first, and the least worth keeping first. A new array; NULL for want of memory. */
json_t *clearing_sorted(const json_t *rows);

#endif
