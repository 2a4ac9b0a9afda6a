/* The steps that the verbs about purchases have in common. Each works in the call's transaction.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PURCHASE_STEPS_H
#define ELLWAND_DESK_PURCHASE_STEPS_H

#include "desk/verb.h"

enum { PURCHASE_LINES = 2000 };

struct purchase_subject {
    int64_t id;
    char reason[300];
    char state[16];
};

/* Reads "purchase" and "reason"? of the body. */
void purchase_read(struct form *form, struct purchase_subject *purchase);

/* Finds and locks the purchase, and sets the reason for the history. Fault "not-found". */
bool purchase_lock(struct desk_call *call, struct purchase_subject *purchase, struct fault *fault) MUST_CHECK;

/* The same, and refuses one whose state is not `state`: fault `code`, which says what can be done. */
bool purchase_lock_in(struct desk_call *call, struct purchase_subject *purchase, const char *state,
                      const char *code, struct fault *fault) MUST_CHECK;

/* Steps it to `state`, and tells who watches. */
bool purchase_step(struct desk_call *call, const struct purchase_subject *purchase, const char *state,
                   struct fault *fault) MUST_CHECK;

/* Tells who watches that it is `state` now. */
bool purchase_announce(struct desk_call *call, int64_t purchase, const char *state,
                       struct fault *fault) MUST_CHECK;

/* Whether anything came in against it, and whether anything is still to come. */
bool purchase_came(struct desk_call *call, const struct purchase_subject *purchase, bool *some, bool *open,
                   struct fault *fault) MUST_CHECK;

/* The purchase as purchase.show gives it: a new reference; NULL and fault. */
json_t *purchase_document(struct desk_call *call, int64_t purchase, struct fault *fault) MUST_CHECK;

#endif
