/* What the verbs that move stock have in common. Each works in the call's transaction.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_STOCK_STEPS_H
#define ELLWAND_DESK_STOCK_STEPS_H

#include "desk/verb.h"

enum { STOCK_LINES = 2000, STOCK_CODE = 41, STOCK_REASON = 300, SCAN_FIELD = 80 };

/* Quantities are whole pieces, or millimetres for parts sold by length. */
#define STOCK_QUANTITY_MAX 1e9

/* Checks the field "lines" of goods that came in, [{"part", "bin", "batch"?, "quantity"}], `least` of them or more. */
bool stock_receipt_read(struct form *form, size_t least, struct fault *fault) MUST_CHECK;

/* Reads the form's "lines", at least `least` of them, each by `check` (its JSON and its path). */
bool stock_lines_read(struct form *form, size_t least,
                      bool (*check)(const json_t *line, const char *path, struct fault *fault),
                      struct fault *fault) MUST_CHECK;

/* Books the body's lines, which `entries` turns into ledger entries: locks their parts, gives up reservations of what is
 * taken away, writes the ledger, and hands what is free to the kits that are short of it. The answer is
 * {"entries": n, "handed_on": {"reserved", "orders", "short"}}; NULL and fault when anything is refused. */
json_t *stock_change(struct desk_call *call, const struct query *entries, struct fault *fault) MUST_CHECK;

/* Writes ledger entries [{"stock", "delta", "kind", "kit_line"?}, ..] (borrowed). */
bool stock_book(struct desk_call *call, const json_t *entries, struct fault *fault) MUST_CHECK;

/* Gives free stock of the locked `parts` (an array of ids, borrowed) to the kits of `order`, or with 0 of all open orders,
 * and tells who watches. The answer of reservation/reserve: a new reference; NULL and fault when it fails. */
json_t *stock_hand_on(struct desk_call *call, const json_t *parts, int64_t order,
                      struct fault *fault) MUST_CHECK;

#endif
