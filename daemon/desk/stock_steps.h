/* What the verbs that move stock have in common. Each works in the call's transaction.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_STOCK_STEPS_H
#define ELLWAND_DESK_STOCK_STEPS_H

#include "desk/verb.h"

enum { STOCK_LINES = 2000, STOCK_CODE = 41, STOCK_REASON = 300, SCAN_FIELD = 80 };

/* Quantities are whole pieces, or millimetres for parts sold by length. */
#define STOCK_QUANTITY_MAX 1e9
#define STOCK_BOXES_MAX 100000

/* Checks the field "lines" of goods that came in, [{"part", "bin", "batch"?, "quantity" or "boxes"}], `least` of them or
 * more. A box holds the part's "pack" of the catalogue. */
bool stock_receipt_read(struct form *form, size_t least, struct fault *fault) MUST_CHECK;

/* Reads the form's "lines", at least `least` of them, each by `check` (its JSON and its path). */
bool stock_lines_read(struct form *form, size_t least,
                      bool (*check)(const json_t *line, const char *path, struct fault *fault),
                      struct fault *fault) MUST_CHECK;

/* Books the body's lines, which `entries` turns into ledger entries: locks their parts and does the rest as
 * stock_change_by. A new reference; NULL and fault when anything is refused. */
json_t *stock_change(struct desk_call *call, const struct query *entries, struct fault *fault) MUST_CHECK;

/* Books `entries` of the locked `parts` (both borrowed): gives up reservations of what is taken away, from the orders due
 * last, writes the ledger, and hands what is free to the kits that are short of it. The answer is {"entries": n,
 * "given_up": [what each kit lost], "handed_on": as stock_reserve}; NULL and fault when anything is refused. */
json_t *stock_change_by(struct desk_call *call, const json_t *parts, const json_t *entries,
                        struct fault *fault) MUST_CHECK;

/* The first half of that: gives up reservations and writes the ledger. What each kit lost, a new reference; NULL and fault. */
json_t *stock_take_away(struct desk_call *call, const json_t *entries, struct fault *fault) MUST_CHECK;

/* Writes ledger entries [{"stock", "delta", "kind", "kit_line"?}, ..] (borrowed). */
bool stock_book(struct desk_call *call, const json_t *entries, struct fault *fault) MUST_CHECK;

/* Gives free stock of the locked `parts` (an array of ids, borrowed) to the kits of `order`, or with 0 of all open orders;
 * to what stays short, what may stand in for it. The answer is {"reserved": lines helped, "orders": [numbers], "instead":
 * [{order, window, part, instead, name, unit, quantity}], "short": [{order, window, part, name, unit, short}]}: a new
 * reference; NULL and fault when it fails. */
json_t *stock_reserve(struct desk_call *call, const json_t *parts, int64_t order,
                      struct fault *fault) MUST_CHECK;

/* The same, and tells those who watch who was helped. */
json_t *stock_hand_on(struct desk_call *call, const json_t *parts, int64_t order,
                      struct fault *fault) MUST_CHECK;

#endif
