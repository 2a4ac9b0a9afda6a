/* How an order is shown. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_ORDER_VIEW_H
#define ELLWAND_CLIENT_ORDER_VIEW_H

#include "screen.h"

/* The result of order.show: its fields, windows, pieces, what is short, what to mind, and how it came to its
 * state. */
void order_view(const struct screen *screen, const json_t *order);

enum { ORDER_CHANGE_TEXT = 600 };

/* What a change of an order (order.change, "what") did, in one line; cut where it is longer. Returns `text`. */
char *order_change_text(const json_t *what, char text[ORDER_CHANGE_TEXT]);

#endif
