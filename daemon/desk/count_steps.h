/* What the verbs of a stock-take have in common. Each works in the call's transaction. Lock order: stock_take before part.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_COUNT_STEPS_H
#define ELLWAND_DESK_COUNT_STEPS_H

#include "desk/verb.h"

enum { COUNT_TAKES = 200, COUNT_LINES = 2000 };

struct stock_take {
    int64_t id, round;
    char state[16];
    bool rack; /* of a place of the rack, not of a bin */
};

/* Reads which one is meant: the field "stock_take", "bin" or "place", just one of them. */
void count_read(struct form *form);

/* Finds and locks the one that the body means. Fault "not-found". */
bool count_find(struct desk_call *call, struct stock_take *take, struct fault *fault) MUST_CHECK;

/* Refuses one that is not in `state`: "stock-take-open", "-counted", "-approved" or "-dropped", saying what can be done. */
bool count_must_be(const struct stock_take *take, const char *state, struct fault *fault) MUST_CHECK;

/* Tells who watches, and answers {"stock_take", "state", ..}: `answer` is taken over and given back, or NULL and fault. */
json_t *count_told(struct desk_call *call, const char *topic, json_t *answer, struct fault *fault) MUST_CHECK;

#endif
