/* One cutting problem on the spot: document in, document out. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CUTLIST_H
#define ELLWAND_CUTTING_CUTLIST_H

#include "cutting/cutting.h"

/* Reads the problem (problem.h), solves it and writes the plan document (plan.h) to *plan, which the caller
 * owns (json_decref). On failure *plan is NULL. Check the plan with cutting/check/plan_check.h before it is
 * trusted. */
bool cutlist_run(const json_t *problem, const struct cutting_options *options, json_t **plan,
                 struct fault *fault) MUST_CHECK;

/* Pieces from CSV text: name, length and quantity, separated by comma or semicolon; a first line of headings
 * ("name", "length", "quantity" in any order) is understood. Lengths may carry a unit; quantity may be left
 * out. Returns a "pieces" list for the problem document, which the caller owns; NULL with fault ("bad-csv",
 * with the line in `where`; "too-large") when it cannot be read. */
json_t *cutlist_pieces(const char *bytes, size_t count, struct fault *fault) MUST_CHECK;

/* A bar from one option: "six=6000" (as many as wanted), "F17=1874.5x1" (so many of them), with "s" at the
 * end when its end is squared: "F17=1874.5x1s". Returns a "bars" item, owned by the caller. */
json_t *cutlist_bar(const char *text, struct fault *fault) MUST_CHECK;

#endif
