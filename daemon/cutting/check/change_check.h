/* Does a plan keep as much of an earlier one as it says? SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_CHANGE_CHECK_H
#define ELLWAND_CUTTING_CHECK_CHANGE_CHECK_H

#include "cutting/check/facts.h"

/* Counts the plan's runs that cut an earlier bar as it was, and compares with what its "change" claims (NULL: nothing to compare, which
 * is right only where the problem names no earlier bars). fault "bad-plan". */
bool change_check(const struct facts *facts, const json_t *runs, const json_t *change,
                  struct fault *fault) MUST_CHECK;

#endif
