/* When to buy what, for the verbs that list it, project it and act on it. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_REORDERING_H
#define ELLWAND_DESK_REORDERING_H

#include "desk/verb.h"

/* A history of fewer weeks is called short: its figures are a guess. (Common practice, no source.) */
enum { REORDERING_WEEKS_ENOUGH = 4 };
/* On such a guess no more is bought than needed and so many weeks' use. */
enum { REORDERING_GUESS_COVERS = 4 };
/* So many weeks ahead a stock is projected where nobody says how many. */
enum { REORDERING_AHEAD = 26 };
enum { REORDERING_CLASSES = 3 };

struct reordering {
    double service
        [REORDERING_CLASSES]; /* wanted share of lead times without running out, 0.5 to 0.9999, of the classes A,
                                           B, C by the value used in a year; 0: the catalogue's */
    double order_cost;        /* of one order, minor units */
    double holding_share;     /* of its price that keeping a thing costs a year */
};

/* Reads "part", which the statement looks at itself, "service" (a number for all, or {"A", "B", "C"}), "order_cost" and
 * "holding_share". */
void reordering_read(struct form *form, struct reordering *practice);

/* One line of reorder.list from a row of the statement reorder/demand, its "weeks" laid out (a number each, null for a week in
 * which the workshop was shut): pure. "this_week" and "week_left" are in the row too. Quantities come out in the unit that
 * people use. With `weeks` above 0 the line holds the projection of so many weeks ("projection"). A new reference; NULL and fault
 * ("out-of-range", "out-of-memory"). */
json_t *reordering_line(const json_t *row, const struct reordering *practice, size_t weeks,
                        struct fault *fault) MUST_CHECK;

/* A page of lines: `wanted` is what the statement takes (see there). {"service", "lines", "next"}; with `due_only` those with
 * something to buy, so a page may hold few or none and yet have a next. A new object; NULL and fault when it fails. */
json_t *reordering_page(struct desk_call *call, const json_t *wanted, const struct reordering *practice,
                        bool due_only, size_t weeks, struct fault *fault) MUST_CHECK;

#endif
