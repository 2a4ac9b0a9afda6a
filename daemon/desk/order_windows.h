/* The windows of an order that is taken or changed: worked out, and written down with their pieces, kits and parts.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_ORDER_WINDOWS_H
#define ELLWAND_DESK_ORDER_WINDOWS_H

#include "desk/verb.h"

/* Works `surveys` (an array) out with the workshop's catalogue, whose version goes into *version. An array of what
 * order/insert_windows.sql wants, its positions from 1: a new reference. NULL and a fault that names the window ("windows[2].width")
 * otherwise. */
json_t *order_windows_work_out(struct desk_call *call, const json_t *surveys, int64_t *version,
                               struct fault *fault);

/* Writes them down for order `id`. Fault "unknown-part". */
bool order_windows_insert(struct desk_call *call, int64_t id, int64_t version, const json_t *windows,
                          struct fault *fault) MUST_CHECK;

#endif
