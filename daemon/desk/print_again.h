/* Printing again what may be on paper already: as marked reprints with codes of their own, which make those before void.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PRINT_AGAIN_H
#define ELLWAND_DESK_PRINT_AGAIN_H

#include "common/fault.h"
#include "store/queries.h"
#include "store/store.h"

/* Asks at `station` for what print job `job` has still to print, and has the job say so in `words`. `job` is over, or about to
 * be. *first is the first print job that prints it again. */
bool print_again(struct store_session *session, int64_t workshop, int64_t job, const char *station,
                 int64_t *first, struct fault *fault) MUST_CHECK;

/* Where a job is to move to, "" when nowhere. */
bool print_wished_station(struct store_session *session, int64_t job, char station[64],
                          struct fault *fault) MUST_CHECK;

#endif
