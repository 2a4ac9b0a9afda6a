/* When to buy what, for the verbs that list it and those that act on it. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_REORDERING_H
#define ELLWAND_DESK_REORDERING_H

#include "desk/verb.h"

/* A history of fewer weeks is called short: its figures are a guess. (Common practice, no source.) */
enum { REORDERING_WEEKS_ENOUGH = 4 };

struct reordering {
    double service;       /* wanted share of lead times without running out, 0.5 to 0.9999 */
    double order_cost;    /* of one order, minor units */
    double holding_share; /* of its price that keeping a thing costs a year */
};

/* Reads "part", which the statement looks at itself, "service", "order_cost" and "holding_share". */
void reordering_read(struct form *form, struct reordering *practice);

/* One line of reorder.list from a row of the statement reorder/demand: pure. Quantities come out in the unit that people
 * use. A new reference; NULL and fault ("out-of-range", "out-of-memory"). */
json_t *reordering_line(const json_t *row, const struct reordering *practice, struct fault *fault) MUST_CHECK;

/* The lines of all parts and bar lengths that the body asks for; with `due_only` those with something to buy.
 * A new array; NULL and fault when it fails. */
json_t *reordering_lines(struct desk_call *call, const struct reordering *practice, bool due_only,
                         struct fault *fault) MUST_CHECK;

#endif
