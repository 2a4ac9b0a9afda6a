/* What the verbs that work on a kit have in common. Each works in the call's transaction.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_KIT_STEPS_H
#define ELLWAND_DESK_KIT_STEPS_H

#include "desk/verb.h"

struct kit {
    int64_t id, order;
};

/* Finds and locks the kit that the body's field "kit" names, and its order before it. fault "unknown-kit". */
bool kit_open(struct desk_call *call, struct kit *kit, struct fault *fault) MUST_CHECK;

/* The answer of a statement of ($1 workshop, $2 body, $3 kit): a new reference; NULL and fault when it fails. */
json_t *kit_ask(struct desk_call *call, const struct query *query, const struct kit *kit,
                struct fault *fault) MUST_CHECK;

/* A statement of ($1 kit) that answers true or false; in *changed. */
bool kit_step(struct desk_call *call, const struct query *query, const struct kit *kit, bool *changed,
              struct fault *fault) MUST_CHECK;

/* How the kit stands, as kit/brief gives it; tells who watches of `topic` unless that is NULL. A new reference; NULL and
 * fault when it fails. */
json_t *kit_answer(struct desk_call *call, const struct kit *kit, const char *topic,
                   struct fault *fault) MUST_CHECK;

/* Moves parts between the bins and the kit: locks the body's part, gives up the kit's reservations of it, books what
 * `entries` ($1 workshop, $2 body, $3 kit, and if it wants $4 what was reserved) makes of the body, and reserves again, for this kit's order
 * first. `step` is
 * what the kit does once they are booked (see kit_step). */
bool kit_move_parts(struct desk_call *call, const struct kit *kit, const struct query *entries,
                    const struct query *step, struct fault *fault) MUST_CHECK;

/* Reads the body {"kit", "reason"?} of verbs that need no more, and sets the reason, `otherwise` where none is given. */
bool kit_read(struct desk_call *call, const char *otherwise, struct fault *fault) MUST_CHECK;

/* Puts the body's piece to the kit ("matched") or takes it from it ("cut"). The answer is that of kit/match with how the
 * kit now stands as "kit". */
json_t *kit_match_piece(struct desk_call *call, const char *state, struct fault *fault) MUST_CHECK;

#endif
