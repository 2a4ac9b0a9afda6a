/* Asking for labels within a verb's transaction. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_LABELS_H
#define ELLWAND_DESK_LABELS_H

#include "desk/verb.h"

/* Queues labels of `kind` for `items`, [{"subject": id, "payload": {..}}, ..] (taken over; NULL counts as a
 * failure that `fault` tells of already), and appends {"kind", "station", "labels", "jobs"} to `answers`.
 * Nothing is queued for no items. Where no station prints this kind the work goes on without: the entry then
 * has "labels": 0 and says "why". */
bool labels_ask(struct desk_call *call, const char *kind, json_t *items, json_t *answers,
                struct fault *fault) MUST_CHECK;

/* The same for what a workshop may do without: where no station prints it, nothing is said of it. */
bool labels_ask_if_printed(struct desk_call *call, const char *kind, json_t *items, json_t *answers,
                           struct fault *fault) MUST_CHECK;

/* Whether a station prints this kind: for what takes long to make. */
bool labels_printed_here(struct desk_call *call, const char *kind, bool *printed,
                         struct fault *fault) MUST_CHECK;

/* Labels for the bars and offcuts `ids` (a JSON array, borrowed). */
bool labels_ask_rack(struct desk_call *call, const json_t *ids, json_t *answers,
                     struct fault *fault) MUST_CHECK;

/* Refuses the request ("void-label") when a code in its "bar", "piece" or "spoiled" is of a label that was printed again. */
bool labels_refuse_void(struct desk_call *call, struct fault *fault) MUST_CHECK;

#endif
